"""`jobkit diff`: what changed, as readings and verdicts, not lines."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Output, one_book
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.shelf.opening import Revision, Shelf
    from jobkit.jobs.history import FileChange
    from jobkit.pages.history.diff import Diff, JobDiff
    from jobkit.reckon.changes.commits import Benches

app = plain_app()


@app.command()
def diff(
    ctx: typer.Context,
    revisions: Annotated[
        str | None, typer.Argument(metavar="[REV[..REV]]", help="From which revision, and to which.")
    ] = None,
    staged: Annotated[
        bool, typer.Option("--staged", help="Compare with what is staged instead of the working tree.")
    ] = False,
    form: Annotated[
        str, typer.Option("--format", metavar="text|markdown|html|json|csv", help="The form of the answer.")
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show what changed since the last commit, or between two revisions, in plain words.

    Each side is compared with the limits of its own board files; if one of these changed, readings whose verdict
    changes are listed too.
    """
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.history.diff import diff_page

    sides = _sides(one_book(ctx, book), revisions, staged=staged)
    show_page(diff_page(_diff(sides)), form, output, color)


class _Sides(NamedTuple):
    root: Path
    before: Revision
    after: Shelf
    names: tuple[str, str]


def _sides(root: Path, revisions: str | None, *, staged: bool) -> _Sides:
    from jobkit.book.shelf.opening import Index, Revision, Tree

    first, dots, last = (revisions or "HEAD").partition("..")
    if last.startswith("."):
        raise MisuseError(
            "three dots are not supported", f"write {first or 'HEAD'}..{last.lstrip('.') or 'HEAD'}"
        )
    if dots and staged:
        raise MisuseError("--staged is one side already", "name one revision, or leave --staged out")
    before = Revision(root, first or "HEAD")
    after: Shelf = Revision(root, last or "HEAD") if dots else Index(root) if staged else Tree(root)
    return _Sides(root, before, after, (first or "HEAD", (last or "HEAD") if dots else after.name))


def _diff(sides: _Sides) -> Diff:
    from jobkit.book.history.compare import compare
    from jobkit.book.read.load import open_book
    from jobkit.pages.history.diff import Diff, OwnDiff
    from jobkit.reckon.changes.commits import Benches
    from jobkit.reckon.changes.own_files import own_changes

    found = compare(sides.root, sides.before, sides.after)
    benches = Benches(open_book(sides.before).bench, open_book(sides.after).bench)
    own = [OwnDiff(file_change.path, own_changes(file_change)) for file_change in found.own]
    return Diff(*sides.names, list(_jobs(found.jobs, benches)), own)


def _jobs(file_changes: tuple[FileChange, ...], benches: Benches) -> Iterator[JobDiff]:
    from jobkit.book.history.compare import path_of
    from jobkit.pages.history.diff import JobDiff
    from jobkit.reckon.changes.commits import told

    for file_change in file_changes:
        changes = tuple(told(file_change, benches, {}))
        job = (file_change.after and file_change.after.job) or (file_change.before and file_change.before.job)
        moved = (
            file_change.before.path
            if file_change.before and file_change.before.path != path_of(file_change)
            else ""
        )
        if changes:
            yield JobDiff(path_of(file_change), (job and job.title) or "", changes, moved)
