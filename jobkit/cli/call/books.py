"""The books that a call names; needs no command-line library."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from jobkit.book.shelf.find import find_book
from jobkit.units.errors import MisuseError


def folders_of(named: Sequence[str]) -> tuple[Path, ...]:
    """Find the folders of the books named; that of the one around the current folder where none is."""
    return tuple(find_book(book) for book in named) or (find_book(Path.cwd()),)


def only_folder(named: Sequence[str], command: str) -> Path:
    """Find the folder of the one book of a command that takes no more; raises MisuseError."""
    folders = folders_of(named)
    if len(folders) > 1:
        raise MisuseError(f"`{command}` reads one book", "name one --book")
    return folders[0]
