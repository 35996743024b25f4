"""Check a few jobs of a book without going through the others: of those, a rule is given the ones that it asks for."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jobkit.book.read.load import OpenBook
from jobkit.lint.check.check_or_recall import check_or_recall
from jobkit.lint.run.few_jobs import FewJobs
from jobkit.lint.run.report import Report
from jobkit.lint.run.whole_book import judged


def lint_few(
    book: OpenBook,
    wanted: Callable[[str], bool],
    paths: Sequence[str],
    of_board: Callable[[str], Sequence[str]] | None = None,
) -> Report:
    """Check the job files `paths` (sorted), not all that the book has, and its own files that are wanted.

    `of_board` names the job files of a serial number; by default, those in whose text the number is.
    """
    checked = check_or_recall(book, paths)
    return judged(book, wanted, checked, FewJobs(book, checked, of_board))
