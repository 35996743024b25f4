"""`jobkit undo`: undo the last entry."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, one_book

app = plain_app()


@app.command()
def undo(
    ctx: typer.Context,
    skip: Annotated[
        bool, typer.Option("--skip", help="Leave the last writing in the book, so that undo gets past it.")
    ] = False,
    yes: Annotated[
        bool, typer.Option("--yes", help="Do not ask where it is committed, sent, or from another day.")
    ] = False,
    by: Annotated[
        str | None, typer.Option("--by", metavar="WHO", help="What this person wrote; default: you.")
    ] = None,
    book: Books = None,
) -> None:
    """Undo what you wrote last to this book: an entry, a board booked in, a count, a tidy, an upgrade.

    Call it again to undo the entry before. What was changed since is kept. It asks before it undoes what is committed,
    belongs to a job that was sent, or was written on another day.
    """
    from jobkit.book.read.bench_of import bench_of
    from jobkit.book.write.session import SessionFiles
    from jobkit.cli.bench.noting import bench_time, hand_of
    from jobkit.cli.bench.undoing import Undo, forget_last, undo_last

    root = one_book(ctx, book)
    today = bench_time(bench_of([root], None).settings).date()
    one = Undo(root, by or hand_of(SessionFiles(root).read()), today, sure=yes)
    with one.journal.alone():
        (forget_last if skip else undo_last)(one)
