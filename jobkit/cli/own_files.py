"""The files of a book that commands go through one by one: those named, else all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from jobkit.book.shelf import Kind, Tree, kind_of
from jobkit.units.errors import MisuseError

SCHEMED = frozenset(("job", "board", "bench", "meters", "stock", "clients"))
"""The kinds of file that have a schema."""


def files_of(root: Path, named: Sequence[str]) -> Iterator[tuple[Kind, str]]:
    """Yield kind and path of each file below one of the paths named, all where none is; raises MisuseError."""
    wanted = [_in_book(root, path) for path in named]
    for path in Tree(root).paths():
        if kind_of(path) in SCHEMED and (
            not wanted or any(one in {".", path} or path.startswith(f"{one}/") for one in wanted)
        ):
            yield kind_of(path), path


def _in_book(root: Path, path: str) -> str:
    place = Path(path).resolve()
    if not place.exists():
        raise MisuseError(f"there is no {path}", "check the name")
    if not place.is_relative_to(root):
        raise MisuseError(
            f"{path} lies outside the book {root}", "name a file of the book, or another --book"
        )
    return place.relative_to(root).as_posix()
