"""`jobkit undo`: take back what the writing commands wrote last."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.write.session import Written
    from jobkit.cli.bench.writing import Writing

app = plain_app()


@app.command()
def undo(
    ctx: typer.Context,
    skip: Annotated[
        bool, typer.Option("--skip", help="Leave the last entry in the book, so that undo gets past it.")
    ] = False,
    book: Books = None,
) -> None:
    """Take back the last entry that these commands wrote to this book, as long as it stands as it was written.

    Once more takes back the one before it.
    """
    from jobkit.cli.bench.writing import begin, tell

    writing = begin(ctx, book)
    with writing.files.taking_back():
        last = writing.files.last()
        if last is None:
            raise MisuseError(
                "nothing that was written here is left to take back", "change the file in an editor"
            )
        if not skip:
            _take_back(writing, last)
        writing.files.forget_last()
    tell(f"{'left in' if skip else 'taken back from'} {last.path}: {last.what}")


def _take_back(writing: Writing, last: Written) -> None:
    from jobkit.book.edit import EditError
    from jobkit.book.write.disk import remove, update
    from jobkit.book.write.undo import taken_back

    try:
        if last.made is not None:
            remove(writing.root / last.path, last.made)
        else:
            update(writing.root / last.path, lambda text: taken_back(text, last.splices))
    except EditError as changed:
        mend = f"{changed.mend}; `jobkit undo --skip` gets past it"
        raise MisuseError(f"{last.what} in {last.path}: {changed.message}", mend) from None
