"""The files that a call names, in a book."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from jobkit.units.errors import MisuseError

Wanted = Callable[[str], bool]
"""Tells of a path in the book whether it is meant."""


def everything(_path: str) -> bool:
    """Mean every file."""
    return True


def named(root: Path, paths: Sequence[str]) -> Wanted:
    """Mean the files named on the command line, or below a folder named there; all where none is named.

    Raises MisuseError for a path that is not there, or not in the book.
    """
    inside = [_in_book(root, path) for path in paths]
    if not inside or "." in inside:
        return everything
    return lambda path: any(path == one or path.startswith(f"{one}/") for one in inside)


def _in_book(root: Path, path: str) -> str:
    place = Path(path).resolve()
    if not place.exists():
        raise MisuseError(f"there is no {path}", "check the name")
    if not place.is_relative_to(root):
        raise MisuseError(
            f"{path} lies outside the book {root}", "name a file of the book, or another --book"
        )
    return place.relative_to(root).as_posix()
