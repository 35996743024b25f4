"""What the next commit changes: on most days one job of thousands, so that the others need not be gone through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.git.mentions import mentioning
from jobkit.book.history.before import before_in_place
from jobkit.book.read.load import load_jobs
from jobkit.book.shelf.opening import Index, kind_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Job
from jobkit.lint.run.dependents import is_leaned_on


class Staged(NamedTuple):
    """The files to be checked before a commit, and the jobs among them as they were in the last one, by path."""

    paths: frozenset[str]
    before: Mapping[str, Job]


_FOR_ALL = frozenset(("bench", "meters", "stock", "board"))


def staged(shelf: Index) -> Staged | None:
    """Pick what the next commit changes, and the jobs that may be in the wrong by it.

    None for all, where it changes what every job is held to, or takes a file away. Raises GitError.
    """
    # What is not merged yet cannot be committed; git says so.
    changes = [change for change in shelf.changes if change.letter != "U"]
    if any(change.letter == "D" or kind_of(change.path) in _FOR_ALL for change in changes):
        return None
    before = before_in_place((git.Swap(one.path, one.was) for one in changes), shelf.contents)
    return Staged(frozenset((*(one.path for one in changes), *_leaning(shelf, before))), before)


def _leaning(shelf: Index, before: Mapping[str, Job]) -> Iterator[str]:
    """Yield the jobs that mention one that changed in what others ask of it."""
    moved = [
        job.id
        for loaded in load_jobs(shelf, before)
        if loaded.job and is_leaned_on(facts_of(job := before[loaded.path]), facts_of(loaded.job))
    ]
    yield from (path for path in mentioning(shelf.repo, "jobs", moved) if kind_of(path) == "job")
