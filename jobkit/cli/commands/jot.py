"""`jobkit jot`: write down any other entry. Each sort of entry is a command, made of its row and of the schema."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

import click
import typer
from typer.core import TyperGroup

from jobkit.cli.call.command import plain_app
from jobkit.jobs.naming import named
from jobkit.jobs.renamed import KEYS, renamed
from jobkit.reckon.entry.jot_kinds import JOTS
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.schema.entry_keys import Key
    from jobkit.cli.bench.writing import Writing
    from jobkit.jobs.job import Job
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


class Jots(TyperGroup):
    """The sorts of entry, each a command of its own; a name may be cut short as long as it stays the only one."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Name the sorts of entry."""
        del ctx
        return [*JOTS, *_CLOCK]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Make the command of a sort of entry."""
        del ctx
        if cmd_name in _CLOCK:
            return _start() if cmd_name == "start" else _command(JOTS["work"], "stop", _CLOCK["stop"], _stop)
        row = JOTS.get(cmd_name)
        return row and _command(row, row.name, row.about, _jot)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the sort of entry; the name of a day alone means that day, as in `jot sent`."""
        from jobkit.jobs.job import Dates

        if args and args[0] in Dates._fields:
            args = ["date", *args]
        elif args and args[0] == "reading":
            raise MisuseError("readings have their own command", "use `jobkit read vmem 23.4`")
        elif args and (new := renamed(args[0], KEYS, JOTS)):
            raise MisuseError(f'"{args[0]}" is not a kind of entry', new)
        elif args:
            args = [named(args[0], (*JOTS, *_CLOCK, *Dates._fields), "sort of entry"), *args[1:]]
            args = ["date", *args] if args[0] in Dates._fields else args
        return super().resolve_command(ctx, args)


app = plain_app(cls=Jots, needs_words=True)


@app.callback()
def jot_(ctx: typer.Context) -> None:
    """Write down what was done, seen, used, agreed: `jot work fit u3 new`, `jot date agreed`, `jot price quoted 160`.

    Words go to the keys in order; the name of a key before a word says where it goes: `jot work fit u3 alloy SAC305`.
    """
    del ctx


def _command(
    row: Jot,
    name: str,
    about: str,
    run: Callable[[Writing, Job, Jot, Sequence[str], Mapping[str, Any], bool], None],
) -> click.Command:
    keys = _keys(row)

    def callback(words: tuple[str, ...], **given: Any) -> None:
        from jobkit.cli.bench.writing import begin, job_meant

        usual = {option.name: given.pop(option.name or "") for option in _USUAL}
        writing = begin(click.get_current_context(), list(usual["book"]), usual["by"], usual["at"])
        job = _clock_job(writing, usual["job"]) if name == "stop" else job_meant(writing, usual["job"])
        run(writing, job, row, words, _options(keys, given), usual["as_is"])

    return click.Command(
        name,
        params=[click.Argument(["words"], nargs=-1, metavar=_metavar(row)), *map(_option, keys), *_USUAL],
        callback=callback,
        help=f"Write down {about}." if name != "stop" else f"{about[0].upper()}{about[1:]}.",
        short_help=about,
    )


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
    return click.Option([name, key.name], multiple=True, metavar=key.form.upper(), help=help_text)


def _options(keys: Sequence[Key], given: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    """Give the options that were named; of a flag, the word it stands for."""
    found = {}
    for key in keys:
        value = given.get(key.name)
        if value:
            found[key.name] = ("yes",) if value is True else tuple(value)
    return found


def _jot(
    writing: Writing,
    job: Job,
    row: Jot,
    words: Sequence[str],
    options: Mapping[str, Any],
    as_is: bool,
) -> None:
    from jobkit.cli.bench.jotting import jot

    jot(writing, job, row, words, options, as_is=as_is)


def _clock_job(writing: Writing, name: str | None) -> Job:
    from jobkit.cli.bench.writing import job_meant

    clock = writing.desk.clock
    if clock is None:
        raise MisuseError("no clock is running", "start it with `jobkit jot start`")
    return job_meant(writing, name or clock.job)


def _stop(
    writing: Writing,
    job: Job,
    row: Jot,
    words: Sequence[str],
    options: Mapping[str, Any],
    as_is: bool,
) -> None:
    """Write the work with the minutes since the clock was started, at least one."""
    from jobkit.book.schema.entry_keys import keys_of
    from jobkit.cli.bench.jotting import known_to, write_entry
    from jobkit.reckon.entry.jot import entry_of

    assert writing.desk.clock is not None
    since = datetime.fromisoformat(writing.desk.clock.since)
    minutes = max(1, round((writing.now - since).total_seconds() / 60))
    entry = entry_of(row, keys_of(row.path), words, options, known_to(writing, job))
    write_entry(writing, job, row, {"at": since, "by": writing.by, "minutes": minutes, **entry}, as_is=as_is)
    writing.remember(clock=None)


def _start() -> click.Command:
    def callback(job: str | None, by: str | None, book: tuple[str, ...]) -> None:
        from jobkit.book.write.session import Clock
        from jobkit.cli.bench.writing import begin, job_meant, tell

        writing = begin(click.get_current_context(), list(book), by)
        meant = job_meant(writing, job)
        running = writing.desk.clock
        if running:
            since = datetime.fromisoformat(running.since)
            raise MisuseError(
                f"the clock has been running since {since:%H:%M} for {running.job}",
                "stop it first, as in `jobkit jot stop clean`",
            )
        writing.remember(clock=Clock(meant.id, writing.now.isoformat()))
        tell(f"{meant.id} clock started at {writing.now:%H:%M}")

    shared = [option for option in _USUAL if option.name in {"job", "by", "book"}]
    about = _CLOCK["start"]
    return click.Command(
        "start", params=list(shared), callback=callback, help=f"{about.capitalize()}.", short_help=about
    )
