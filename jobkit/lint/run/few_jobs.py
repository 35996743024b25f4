"""A few jobs of a book as rules ask for them, without going through the others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Self

from jobkit.book.read.load import OpenBook
from jobkit.jobs.facts import Facts
from jobkit.lint.check.check_or_recall import CheckedBook
from jobkit.lint.run.job_lookup import JobLookup


class FewJobs(JobLookup):
    """The jobs of a book as rules ask for them, looked for by name."""

    is_whole = False

    def __init__(
        self, book: OpenBook, checked: CheckedBook, of_board: Callable[[str], Sequence[str]] | None = None
    ) -> None:
        """Take a book, those of its jobs that were checked, and what names the job files of a serial number.

        By default those are named in whose text the number is.
        """
        super().__init__(book, checked)
        self._of_board = of_board

    def of_board(self, serial: str) -> tuple[Facts, ...]:
        """Give the facts of the jobs of a serial number; a few may be of another."""
        if self._of_board is None:
            return super().of_board(serial)
        return tuple(facts for path in self._of_board(serial) if (facts := self.at(path)))

    def paths_named(self, job_id: str) -> Sequence[str]:
        """Name the job files of a name, as the shelf finds them."""
        return () if "/" in job_id else self._book.shelf.jobs_named(job_id)


class JobsAround(FewJobs):
    """The jobs of a book around one that is to be written: of that, the facts are known; the others are read."""

    def __init__(self, book: OpenBook) -> None:
        """Take a book."""
        super().__init__(book, CheckedBook({}, "", {}))
        self._has_recalled = True

    def as_if(self, path: str, facts: Facts) -> Self:
        """Put a job as it is to be in the place of what its file says; the others are as they were found."""
        self._known[path] = facts
        return self
