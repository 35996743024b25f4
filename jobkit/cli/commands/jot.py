"""`jobkit jot`: write any other entry. Each kind of entry is a command, made from its row and the schema."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click
import typer
from typer.core import TyperGroup

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.examples import with_examples
from jobkit.jobs.naming import named
from jobkit.jobs.renamed import KEYS, renamed
from jobkit.reckon.entry.jot_kinds import JOTS
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.schema.entry_keys import Key
    from jobkit.reckon.entry.jot_kinds import Jot

_CLOCK = {
    "start": "start the clock for a piece of work",
    "stop": "stop the clock and write the work down, as in `stop clean 'final clean'`",
}
_USUAL = (
    click.Option(["--at"], metavar="TIME", help="Time, such as 10:05 (default: now)."),
    click.Option(["--by"], metavar="WHO", help="Who did the work; remembered."),
    click.Option(["--as-is"], is_flag=True, help="Accept names that are not defined in the book."),
    click.Option(["--job"], metavar="JOB", help="Job to use instead of the selected one."),
    click.Option(
        ["--book"],
        metavar="PATH",
        multiple=True,
        help="Book folder (default: nearest parent with bench.toml).",
    ),
)


_METAVARS = {"pairs": "NAME=VALUE[,…]", "numbers": "N|NAME=N[,…]", "unit price": "MONEY"}
"""How forms are written that take several values at once, or have a longer name than their value."""


class Jots(TyperGroup):
    """The kinds of entry, each a command; a name may be shortened while only one fits."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Name the kinds of entry."""
        del ctx
        return [*JOTS, *_CLOCK]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Make the command of a kind of entry."""
        del ctx
        if cmd_name in _CLOCK:
            command = _start() if cmd_name == "start" else _stop()
        elif cmd_name in JOTS:
            command = _jot(JOTS[cmd_name])
        else:
            return None
        return with_examples(command, f"jot {cmd_name}")

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the kind of entry; the name of a day alone means that day, as in `jot sent`."""
        from jobkit.jobs.job import Dates

        if args and args[0] in Dates._fields:
            args = ["date", *args]
        elif args and args[0] == "reading":
            raise MisuseError("readings have their own command", "use `jobkit read vmem 23.4`")
        elif args and args[0] not in JOTS and args[0].casefold() in _works():
            raise MisuseError(
                f'"{args[0]}" is a piece of work', f"use `jobkit jot work {args[0].casefold()} …`"
            )
        elif args and args[0] not in JOTS and args[0].replace("-", "_") in _prices():
            raise MisuseError(f'"{args[0]}" is a key of the price', f"use `jobkit jot price {args[0]} …`")
        elif args and (new := renamed(args[0], KEYS, JOTS)):
            raise MisuseError(f'"{args[0]}" is not a kind of entry', new)
        elif args:
            args = [named(args[0], (*JOTS, *_CLOCK, *Dates._fields), "kind of entry"), *args[1:]]
            args = ["date", *args] if args[0] in Dates._fields else args
        return super().resolve_command(ctx, args)


app = plain_app(cls=Jots, needs_words=True)


def _works() -> Iterator[str]:
    """Name what `did` of a piece of work may be; without `work` these would be taken for a misspelt kind of entry."""
    from jobkit.book.schema.entry_keys import keys_of

    return (did for key in keys_of(("work",)) if key.name == "did" for did in key.choices if did != "other")


def _prices() -> Iterator[str]:
    """Name the keys of the price."""
    from jobkit.book.schema.entry_keys import keys_of

    return (key.name for key in keys_of(("price",)))


@app.callback()
def jot_(ctx: typer.Context) -> None:
    """Write what was done, seen, used or agreed: `jot work fit u3 new`, `jot date agreed`, `jot price quoted 160`.

    Words fill the keys in order; put the name of a key before a word to choose the key: `jot work fit u3 alloy SAC305`.
    """
    del ctx


def _jot(row: Jot) -> click.Command:
    """Make the command of a kind of entry."""

    def callback(words: tuple[str, ...], **given: Any) -> None:
        from jobkit.cli.bench.jotting import jot
        from jobkit.cli.bench.writing import begin, job_meant

        usual = _usual(given)
        writing = begin(click.get_current_context(), list(usual["book"]), usual["by"], usual["at"])
        job = job_meant(writing, usual["job"])
        jot(writing, job, row, words, _options(_keys(row), given), as_is=usual["as_is"])

    return _command(row, row.name, f"Write down {row.about}.", row.about, callback)


def _command(
    row: Jot, name: str, help_text: str, about: str, callback: Callable[..., None], *more: click.Option
) -> click.Command:
    words = click.Argument(["words"], nargs=-1, metavar=_metavar(row))
    return click.Command(
        name,
        params=[words, *map(_option, _keys(row)), *_USUAL, *more],
        callback=callback,
        help=help_text,
        short_help=about,
    )


def _usual(given: dict[str, Any]) -> dict[str, Any]:
    """Take the usual options out of what was given."""
    return {option.name or "": given.pop(option.name or "") for option in _USUAL}


def _keys(row: Jot) -> tuple[Key, ...]:
    from jobkit.book.schema.entry_keys import keys_of

    of_writer = {"at", "by"}
    return tuple(
        key
        for key in keys_of(row.path)
        if key.name not in of_writer and (not row.only or key.name in row.only)
    )


def _metavar(row: Jot) -> str:
    return " ".join(f"[{key.upper()}]" for key in row.words) or "KEY VALUE …"


def _option(key: Key) -> click.Option:
    help_text = key.about.split(". ")[0].rstrip(".") + "."
    if key.choices:
        help_text = f"{help_text} ({', '.join(key.choices)})"
    name = f"--{key.name.replace('_', '-')}"
    if key.form == "flag":
        return click.Option([name, key.name], is_flag=True, help=help_text)
    metavar = _METAVARS.get(key.form, key.form.upper())
    return click.Option([name, key.name], multiple=True, metavar=metavar, help=help_text)


def _options(keys: Sequence[Key], given: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    """Give the options that were named; of a flag, the word it means."""
    found = {}
    for key in keys:
        value = given.get(key.name)
        if value:
            found[key.name] = ("yes",) if value is True else tuple(value)
    return found


def _stop() -> click.Command:
    """Make the command that stops the clock: `work`, with the minutes since the clock was started."""
    row, about = JOTS["work"], _CLOCK["stop"]
    sure = click.Option(
        ["--yes"], is_flag=True, help="--job is right, though the clock was started for another."
    )

    def callback(words: tuple[str, ...], *, yes: bool, **given: Any) -> None:
        from jobkit.cli.bench.timing import job_timed, stop_clock
        from jobkit.cli.bench.writing import begin

        usual = _usual(given)
        writing = begin(click.get_current_context(), list(usual["book"]), usual["by"], usual["at"])
        job = job_timed(writing, usual["job"], sure=yes)
        stop_clock(writing, job, row, words, _options(_keys(row), given), as_is=usual["as_is"])

    return _command(row, "stop", f"{about[0].upper()}{about[1:]}.", about, callback, sure)


def _start() -> click.Command:
    def callback(job: str | None, by: str | None, book: tuple[str, ...]) -> None:
        from jobkit.cli.bench.timing import start_clock
        from jobkit.cli.bench.writing import begin, job_meant

        writing = begin(click.get_current_context(), list(book), by)
        start_clock(writing, job_meant(writing, job))

    shared = [option for option in _USUAL if option.name in {"job", "by", "book"}]
    about = _CLOCK["start"]
    return click.Command(
        "start", params=list(shared), callback=callback, help=f"{about.capitalize()}.", short_help=about
    )
