"""The files of a book where few of them matter: each is looked for, and all are gone through only if that is needed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from functools import cached_property
from typing import Any

from jobkit.book.shelf.opening import Shelf


class Paths(Set[str]):
    """All files of the book on a shelf, as a set; one of them is told without the others."""

    def __init__(self, shelf: Shelf) -> None:
        """Go through nothing yet."""
        self._shelf = shelf

    @cached_property
    def _all(self) -> frozenset[str]:
        return frozenset(self._shelf.paths())

    def __contains__(self, path: object) -> bool:
        """Tell of one file."""
        return isinstance(path, str) and self._shelf.holds(path)

    def __iter__(self) -> Iterator[str]:
        """Go through all."""
        return iter(self._all)

    def __len__(self) -> int:
        """Count all."""
        return len(self._all)


class JobPaths(Sequence[str]):
    """The job files of the book on a shelf, sorted; they are listed when the first is asked for."""

    def __init__(self, shelf: Shelf) -> None:
        """List nothing yet."""
        self._shelf = shelf

    @cached_property
    def _all(self) -> tuple[str, ...]:
        return self._shelf.job_paths()

    def __getitem__(self, at: Any) -> Any:
        """Give one of them, or some."""
        return self._all[at]

    def __iter__(self) -> Iterator[str]:
        """Go through all."""
        return iter(self._all)

    def __len__(self) -> int:
        """Count all."""
        return len(self._all)
