"""Check a few jobs of a book without going through the others: of those, a rule is given the ones that it asks for."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.paths import Searched
from jobkit.lint.check.check_or_recall import CheckedBook, check_or_recall
from jobkit.lint.run.job_lookup import JobLookup
from jobkit.lint.run.report import Report
from jobkit.lint.run.whole_book import judged


def lint_few(book: OpenBook, shelf: Searched, wanted: Callable[[str], bool], paths: Sequence[str]) -> Report:
    """Check the job files `paths` (sorted), not all that the book has, and its own files that are wanted."""
    checked = check_or_recall(book, paths)
    return judged(book, wanted, checked, _FewLookup(book, shelf, checked))


class _FewLookup(JobLookup):
    """The jobs of a book as rules ask for them, looked for by name."""

    def __init__(self, book: OpenBook, shelf: Searched, checked: CheckedBook) -> None:
        super().__init__(book, checked)
        self._searched = shelf
        self.is_whole = False

    def paths_named(self, job_id: str) -> Sequence[str]:
        return () if "/" in job_id else self._searched.jobs_named(job_id)

    def paths(self) -> Sequence[str]:
        return self._searched.job_paths()
