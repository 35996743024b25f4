"""`jobkit upgrade`: older files to the current format."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, one_book
from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.write.noted import Pen

app = plain_app()


@app.command()
def upgrade(
    ctx: typer.Context,
    check: Annotated[
        bool, typer.Option("--check", help="Change nothing; exit with 1 if something would change.")
    ] = False,
    book: Books = None,
) -> int:
    """Bring every file of the book to the current format, and the copies in schema/ up to date.

    A file of a newer format stops it before anything is changed.
    """
    from jobkit.book.disk.reading import read_beneath
    from jobkit.book.toml.parse import TomlError, decode
    from jobkit.book.write.upgrade import NewerFormatError, upgraded
    from jobkit.cli.bench.noting import pen_for
    from jobkit.cli.bench.writing import tell
    from jobkit.cli.call.own_files import files_of
    from jobkit.pages.words import counted

    root = one_book(ctx, book)
    old, broken = [], 0
    for kind, path in files_of(root, ()):
        try:
            text = decode(read_beneath(str(root), path))
            if upgraded(kind, text, path) != text:
                old.append((kind, path))
        except NewerFormatError:
            raise
        except (MisuseError, TomlError) as error:
            broken += 1
            say(f"jobkit: {path}: {error}")
    schemas = dict(_old_schemas(root))
    if not check:
        pen = pen_for(root, "upgrade")
        for kind, path in old:
            pen.update(path, [partial(upgraded, kind, path=path)])
        _renew(root, schemas, pen)
    tell(*(path for _, path in old), *schemas)
    would = "would be upgraded" if check else "upgraded"
    say(
        f"{counted(len(old) + len(schemas), 'file')} {would}"
        + (f", {broken} left as they are" if broken else "")
    )
    return 2 if broken else int(check and bool(old or schemas))


def _old_schemas(root: Path) -> Iterator[tuple[str, str]]:
    from jobkit.book.setup.new_book import schema_files

    for path, text in schema_files():
        file = root / path
        if not file.is_file() or file.read_bytes().replace(b"\r\n", b"\n") != text.encode():
            yield path, text


def _renew(root: Path, schemas: dict[str, str], pen: Pen) -> None:
    for path, text in schemas.items():
        if (root / path).exists():
            pen.update(path, [partial(_instead, new=text)])
        else:
            pen.create(path, text)


def _instead(_old: str, new: str) -> str:
    return new
