"""What is in the files that jobs name, read from a shelf, and what was worked out from each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from jobkit.book.shelf.opening import Shelf, ShelfError

_Made = TypeVar("_Made")


class ShelfContents:
    """The contents of a shelf; what was made of a file is remembered for as long as this is."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._made: dict[tuple[str, Callable[[bytes], Any]], Any] = {}

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give what `make` makes of a file's content; None for a file that is not there or cannot be read."""
        key = path, make
        if key not in self._made:
            content = self._read(path)
            self._made[key] = None if content is None else make(content)
        made: _Made | None = self._made[key]
        return made

    def _read(self, path: str) -> bytes | None:
        try:
            return self._shelf.read(path)
        except ShelfError:
            return None
