"""A few jobs of the working tree checked again: loaded only where something has changed since the last lint."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING

from jobkit.book import git
from jobkit.book.history.before import before_in_place
from jobkit.book.history.changed_jobs import Moved
from jobkit.book.read.load import OpenBook, open_own
from jobkit.book.schema.gate import get_ready
from jobkit.book.shelf.paths import Paths
from jobkit.book.shelf.tree import GitTree
from jobkit.book.shelf.untracked import Untracked
from jobkit.cli.check.checking import of_day
from jobkit.jobs.bench import RepositoryState
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.lint.run.changed_jobs import again

if TYPE_CHECKING:
    from jobkit.cli.check.linting import LintCall


def open_few(shelf: GitTree) -> OpenBook:
    """Read the bench's own files alone, and get ready for jobs; this needs no answer of git's."""
    get_ready("job")
    return open_own(shelf, Paths(shelf))


def check_again(
    shelf: GitTree, book: OpenBook, call: LintCall, moved: Mapping[str, Moved]
) -> list[Finding] | None:
    """Check a few jobs of the working tree as `lint.again` does; no job has come or gone."""
    book = of_day(book, call, RepositoryState(Untracked(shelf.repo, shelf.is_listed)))

    def before(bound: list[Moved]) -> Mapping[str, Job]:
        swaps = [git.Swap(one.path, one.committed) for one in bound]
        return before_in_place(swaps, partial(git.read_blobs, shelf.repo))

    return again(book, moved, before)
