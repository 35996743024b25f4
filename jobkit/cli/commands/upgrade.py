"""`jobkit upgrade`: older files to the current format."""

from __future__ import annotations

from collections.abc import Callable
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

Step = Callable[["Pen"], object]
"""Writes one file with a pen; raises MisuseError."""

app = plain_app()


@app.command()
def upgrade(
    ctx: typer.Context,
    check: Annotated[
        bool, typer.Option("--check", help="Change nothing; exit with 1 if something would change.")
    ] = False,
    book: Books = None,
) -> int:
    """Convert every file of the book to the current format, and update the copies in schema/.

    If a file has a newer format, nothing is changed.
    """
    from jobkit.cli.bench.noting import pen_for
    from jobkit.cli.bench.writing import tell
    from jobkit.pages.words import counted

    root = one_book(ctx, book)
    steps, faults = _look(root)
    if not check:
        pen = pen_for(root, "upgrade")
        for path, step in list(steps.items()):
            try:
                step(pen)
            except MisuseError as error:
                faults[path] = error
                del steps[path]
    for path, fault in faults.items():
        say(f"jobkit: {path}: {fault}")
    tell(*steps)
    would = "would be upgraded" if check else "upgraded"
    left = f", {len(faults)} left as they are" if faults else ""
    say(f"{counted(len(steps), 'file')} {would}{left}")
    return 2 if faults else int(check and bool(steps))


def _look(root: Path) -> tuple[dict[str, Step], dict[str, MisuseError]]:
    """Return by path what is to be done to old files, and why files cannot be used; raises NewerFormatError."""
    from jobkit.book.read.watch import watched
    from jobkit.book.setup.new_book import schema_files
    from jobkit.book.write.upgrade import NewerFormatError
    from jobkit.cli.call.own_files import files_of
    from jobkit.cli.call.progress import progress_bar

    steps: dict[str, Step] = {}
    faults: dict[str, MisuseError] = {}
    looks = {path: partial(_old_file, root, kind, path) for kind, path in files_of(root, ())}
    looks |= {path: partial(_old_schema, root, path, text) for path, text in schema_files()}
    for path, look in watched(tuple(looks.items()), progress_bar, "reading files"):
        try:
            step = look()
        except NewerFormatError:
            raise
        except MisuseError as fault:
            faults[path] = fault
        else:
            if step:
                steps[path] = step
    return steps, faults


def _old_file(root: Path, kind: str, path: str) -> Step | None:
    from jobkit.book.disk.reading import read_beneath
    from jobkit.book.toml.parse import decode
    from jobkit.book.write.upgrade import upgraded

    text = decode(read_beneath(str(root), path))
    if upgraded(kind, text, path) == text:
        return None
    return lambda pen: pen.update(path, [partial(upgraded, kind, path=path)])


def _old_schema(root: Path, path: str, text: str) -> Step | None:
    from jobkit.book.disk.errors import MissingError
    from jobkit.book.disk.reading import read_beneath

    try:
        old = read_beneath(str(root), path)
    except MissingError:
        return lambda pen: pen.create(path, text)
    if old.replace(b"\r\n", b"\n") == text.encode():
        return None
    return lambda pen: pen.update(path, [lambda _old: text])
