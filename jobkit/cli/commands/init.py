"""`jobkit init`: a new book."""

from __future__ import annotations

import os
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import typer

from jobkit.cli.bench.asking import ask, at_terminal
from jobkit.cli.call.command import plain_app
from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book import git

app = plain_app()

_LOCAL_TIME = Path("/etc/localtime")


@app.command()
def init(
    folder: Annotated[str, typer.Argument(metavar="[DIR]", help="Folder; created if missing.")] = ".",
    name: Annotated[str | None, typer.Option("--name", help="The name of the bench.")] = None,
    letter: Annotated[
        str | None, typer.Option("--id-letter", help="The letter its job ids begin with.")
    ] = None,
    zone: Annotated[
        str | None, typer.Option("--zone", help="Its time zone, such as Atlantic/Reykjavik.")
    ] = None,
    currency: Annotated[str | None, typer.Option("--currency", help="Its currency, such as EUR.")] = None,
) -> None:
    """Create a book: bench.toml, meters.toml, stock.toml, schemas, settings for git and editors.

    At a terminal it asks for what is missing. Existing files are not changed.
    """
    from jobkit.book.setup.new_book import make_book
    from jobkit.cli.bench.writing import tell
    from jobkit.jobs.currency import minor_units

    root = Path(folder)
    if root.exists() and not root.is_dir():
        raise MisuseError(f"{folder} is not a folder", "name another folder; it is created if missing")
    _refuse_nesting(root)
    called = name or _asked("name of the bench", root.resolve().name.replace("-", " ") or "bench")
    bench = {
        "name": called,
        "letter": _letter(letter or _asked("letter of its job ids", _first_letter(called))),
        "zone": _zone(zone or _asked("time zone", _own_zone())),
    }
    money = currency or (_asked("currency", "none") if at_terminal() else "none")
    if money != "none":
        minor_units(money.upper())
        bench["currency"] = money.upper()
    made = make_book(root, bench)
    tell(f"{root / 'bench.toml'} and {len(made) - 1} more files")
    repo = _repo(root)
    if repo and repo.prefix:
        say(f"it is inside the git repository {repo.top}; for one of its own, `git init` in {folder}")
    say(f"next: {_next_step(root, has_repo=repo is not None)}")


def _asked(what: str, habit: str) -> str:
    """Ask at a terminal; Enter accepts the default."""
    if not at_terminal():
        return habit
    typed = ask(f"{what} (Enter for {habit}): ")
    if typed is None:
        raise KeyboardInterrupt
    return typed or habit


def _refuse_nesting(root: Path) -> None:
    from jobkit.book.shelf.find import NoBookError, find_book

    above = next(one for one in (root.resolve(), *root.resolve().parents) if one.exists())
    try:
        book = find_book(above)
    except NoBookError:
        return
    raise MisuseError(f"{book} is a book already", "name a folder outside it")


def _letter(text: str) -> str:
    if len(text) != 1 or not text.isascii() or not text.isalpha():
        raise MisuseError(
            f'the letter cannot be "{text}"', "choose one letter from A to Z, a different one for each bench"
        )
    return text.upper()


def _first_letter(name: str) -> str:
    return next((one.upper() for one in name if one.isascii() and one.isalpha()), "A")


def _zone(text: str) -> str:
    try:
        ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise MisuseError(f'there is no time zone "{text}"', "name one like Atlantic/Reykjavik") from None
    return text


def _own_zone() -> str:
    """Tell the time zone that this machine goes by, UTC where it does not say."""
    named = os.environ.get("TZ", "").lstrip(":")
    if not named and _LOCAL_TIME.is_symlink():
        named = str(_LOCAL_TIME.resolve()).partition("zoneinfo/")[2]
    try:
        return _zone(named) if named else "UTC"
    except MisuseError:
        return "UTC"


def _repo(root: Path) -> git.Repo | None:
    from jobkit.book import git

    try:
        return git.open_repo(root)
    except git.GitError:
        return None


def _next_step(root: Path, *, has_repo: bool) -> str:
    go = "" if root.resolve() == Path.cwd() else f"cd {quote(str(root))} && "
    return f"{go}{'' if has_repo else 'git init && '}jobkit book-in"
