"""The files of a book where few of them matter: each is looked for, and all are gone through only if somebody must."""

from __future__ import annotations

from collections.abc import Iterator, Set
from functools import cached_property
from typing import Protocol


class Searched(Protocol):
    """A shelf that can tell of one file without going through all."""

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted."""

    def holds(self, path: str) -> bool:
        """Tell whether a file is one of the book's."""

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted."""

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted: one, or more by mistake."""


class Paths(Set[str]):
    """All files of the book on a shelf, as a set."""

    def __init__(self, shelf: Searched) -> None:
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
