"""`jobkit tidy`: the usual spelling of units and limits."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, one_book
from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from jobkit.book.write.noted import Pen
    from jobkit.book.write.tidy import Respelled

app = plain_app()


@app.command()
def tidy(
    ctx: typer.Context,
    paths: Annotated[
        list[str] | None,
        typer.Argument(metavar="[PATH …]", help="Files, folders or jobs (default: the whole book)."),
    ] = None,
    check: Annotated[
        bool, typer.Option("--check", help="Change nothing; exit with 1 if something would change.")
    ] = False,
    book: Books = None,
) -> int:
    """Spell units and limits the usual way ("23.4 ohm" becomes "23.4 Ω"). Nothing else in a file changes."""
    from jobkit.book.toml.parse import TomlError
    from jobkit.cli.bench.noting import pen_for
    from jobkit.cli.bench.writing import tell
    from jobkit.cli.call.named_files import book_around
    from jobkit.pages.words import counted

    root = book_around(paths) if paths and not book and not ctx.obj else one_book(ctx, book)
    pen = None if check else pen_for(root, "tidy")
    changed, broken = 0, 0
    for kind, path in _untidy(root, paths or ()):
        try:
            changes = _tidy(root, path, kind, pen)
        except (MisuseError, TomlError) as error:
            broken += 1
            say(f"jobkit: {path}: {error}")
            continue
        changed += bool(changes)
        if changes:
            tell(*(f"{path}: {one.was} -> {one.now}" for one in changes))
    would = "would be tidied" if check else "tidied"
    say(f"{counted(changed, 'file')} {would}" + (f", {broken} left as they are" if broken else ""))
    return 2 if broken else int(check and changed > 0)


def _untidy(root: Path, paths: Sequence[str]) -> list[tuple[str, str]]:
    """Look through files, and give kind and path of those that are not tidy or cannot be used."""
    from jobkit.book.read.watch import watched
    from jobkit.book.toml.parse import TomlError
    from jobkit.cli.call.own_files import files_of
    from jobkit.cli.call.progress import progress_bar

    def is_tidy(kind: str, path: str) -> bool:
        try:
            return not _tidy(root, path, kind, None)
        except (MisuseError, TomlError):
            return False

    files = tuple(files_of(root, paths))
    return [
        (kind, path)
        for kind, path in watched(files, progress_bar, "reading files")
        if not is_tidy(kind, path)
    ]


def _tidy(root: Path, path: str, kind: str, pen: Pen | None) -> tuple[Respelled, ...]:
    """Tidy one file; read it first, because a file that is tidy need not be locked, nor be writable."""
    from jobkit.book.disk.reading import read_beneath
    from jobkit.book.toml.parse import decode
    from jobkit.book.write.tidy import tidied

    found = tidied(kind, decode(read_beneath(str(root), path))).changes
    if found and pen:
        pen.update(path, [lambda text: tidied(kind, text).text])
    return found
