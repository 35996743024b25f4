"""`jobkit init`: a new book."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.bench.asking import ask, at_terminal
from jobkit.cli.call.command import plain_app
from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book import git

app = plain_app()


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
    rate: Annotated[
        str | None, typer.Option("--rate", metavar="SUM", help="What an hour costs the client, such as 48.")
    ] = None,
    tax: Annotated[
        str | None, typer.Option("--tax", metavar="PERCENT", help="Tax on bills, such as 24, or none.")
    ] = None,
    cooling: Annotated[
        str | None,
        typer.Option("--cooling", metavar="MIN", help="Minutes a board cools down before it is read cold."),
    ] = None,
) -> None:
    """Create a book: bench.toml, meters.toml, stock.toml, schemas, settings for git and editors.

    At a terminal it asks for what is missing, and offers a first board file. Existing files are not changed. Ask your
    tax adviser about tax; jobkit gives no tax advice.
    """
    from jobkit.book.setup.new_book import make_book
    from jobkit.cli.bench.founding import Founding, found
    from jobkit.cli.bench.writing import tell

    root = Path(folder)
    if root.exists() and not root.is_dir():
        raise MisuseError(f"{folder} is not a folder", "name another folder; it is created if missing")
    _refuse_nesting(root)
    bench = found(Founding(name, letter, zone, currency, rate, tax, cooling), root)
    made = make_book(root, bench.bench, bench.tax, bench.cooling)
    tell(f"{root / 'bench.toml'} and {len(made) - 1} more files")
    if at_terminal():
        _offer_design(root)
    repo = _repo(root)
    if repo and repo.prefix:
        say(f"it is inside the git repository {repo.top}; for one of its own, `git init` in {folder}")
    say(f"next: {_next_step(root, has_repo=repo is not None)}")


def _offer_design(root: Path) -> None:
    """Offer a first board file; a name that cannot be one is asked for again."""
    from jobkit.book.read.load import open_book
    from jobkit.book.shelf.opening import Tree
    from jobkit.cli.bench.designing import DesignTold, design_name, make_design
    from jobkit.cli.bench.writing import tell

    while typed := ask("first board design you repair, for its board file (Enter for later): "):
        try:
            name = design_name(typed)
        except MisuseError as misuse:
            say(f"jobkit: {misuse}")
            continue
        tell(make_design(root, open_book(Tree(root)).bench, name, DesignTold()))
        return


def _refuse_nesting(root: Path) -> None:
    from jobkit.book.disk.errors import DiskError
    from jobkit.book.shelf.find import NoBookError, find_book
    from jobkit.book.write.disk import clear_away

    above = next(one for one in (root.resolve(), *root.resolve().parents) if one.exists())
    try:
        book = find_book(above)
    except NoBookError:
        return
    # A call that was killed at its last step has left a file; what cannot be removed stays.
    with suppress(DiskError):
        clear_away(book, "bench.toml")
    raise MisuseError(f"{book} is a book already", "name a folder outside it")


def _repo(root: Path) -> git.Repo | None:
    from jobkit.book import git

    try:
        return git.open_repo(root)
    except git.GitError:
        return None


def _next_step(root: Path, *, has_repo: bool) -> str:
    go = "" if root.resolve() == Path.cwd() else f"cd {quote(str(root))} && "
    return f"{go}{'' if has_repo else 'git init && '}jobkit wire && jobkit book-in"
