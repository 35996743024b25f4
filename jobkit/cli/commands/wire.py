"""`jobkit wire`: set up git for this book."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, one_book
from jobkit.cli.call.streams import answer
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.setup.wiring import Wired
    from jobkit.jobs.settings import Settings

app = plain_app()


@app.command()
def wire(
    ctx: typer.Context,
    undo: Annotated[bool, typer.Option("--undo", help="Remove everything that `wire` set up.")] = False,
    no_hook: Annotated[
        bool, typer.Option("--no-hook", help="Without the hook; one that `wire` set is taken away.")
    ] = False,
    id_letter: Annotated[
        str | None,
        typer.Option(
            "--id-letter",
            metavar="L",
            help="The letter of new ids and invoices of this clone, as in K26-0047.",
        ),
    ] = None,
    book: Books = None,
) -> None:
    """Set up git for this book: a hook that checks before each commit, diffs that read like a diary, merges by entries.

    All of it is in the git directory of this clone; an existing hook runs first. Run it again after jobkit has moved,
    and in every new clone.
    """
    from jobkit.book.read.bench_of import bench_of
    from jobkit.book.read.load import open_for_few
    from jobkit.book.setup.id_letter import forget_letter, own_letter, set_letter
    from jobkit.book.setup.wiring import unwire
    from jobkit.book.setup.wiring import wire as set_up
    from jobkit.book.shelf.opening import Tree
    from jobkit.cli.bench.writing import check_bench

    root = one_book(ctx, book)
    if undo and id_letter:
        raise MisuseError("--undo takes the letter away, and --id-letter gives one", "use one of them")
    settings = bench_of([root], None).settings
    if undo:
        forget_letter(root)
        lines = [*_undone(unwire(root, sys.executable))]
    else:
        if id_letter:
            check_bench(open_for_few(Tree(root)), "letter", "letters")
            set_letter(root, id_letter, settings)
        lines = [*_done(set_up(root, sys.executable, hook=not no_hook), hook=not no_hook)]
        lines[3:3] = _letter(own_letter(root), settings)
    answer("".join(f"{line}\n" for line in lines))


def _letter(letter: str, settings: Settings) -> Iterator[str]:
    if letter:
        yield f"ids         begin with {letter}, the letter of {settings.letters.get(letter, 'this clone')}"


def _done(wired: Wired, *, hook: bool) -> Iterator[str]:
    yield f"hook        {_hook(wired, hook=hook)}"
    yield "diffs       git diff and git log -p show each entry as a line, readings with their verdicts"
    yield "merges      by entries; both benches' additions are kept"
    yield f"for         {_named(wired.books)}" + (
        f" (said in {wired.attributes})" if wired.attributes else ""
    )
    for other in wired.others:
        yield f"but         .gitattributes has other settings for {other}"
    yield "CI          reverts, amended commits and merges that git makes by itself pass no hook: add this to your CI,"
    yield "            with the last commit that was checked as REV, in a clone with the whole history:"
    for book in wired.books:
        yield f"            {_line_for_ci(book)}"


def _hook(wired: Wired, *, hook: bool) -> str:
    if wired.elsewhere:
        return f"your own hook calls it: {wired.hook}" + ("" if hook else "; remove the line")
    if not hook:
        return "not for this book" if wired.hook else "none"
    return wired.hook + (", after the one that was there" if wired.chained else "")


def _line_for_ci(book: str) -> str:
    """Write the line that checks each commit, to be run at the top of the repository."""
    named = "" if book == "." else f" --book {shlex.quote(book.rstrip('/'))}"
    return f"jobkit lint{named} --since REV"


def _undone(wired: Wired) -> Iterator[str]:
    yield "git is set up as it was before" + (
        f", but for the jobs of {', '.join(wired.books)}" if wired.books else ""
    )
    if wired.elsewhere:
        yield f"your own hook still calls jobkit: remove the line of {wired.hook}"


def _named(books: tuple[str, ...]) -> str:
    return "the jobs in " + ", ".join("the repository's top" if book == "." else book for book in books)
