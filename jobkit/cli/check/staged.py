"""What the next commit changes: on most days one job of thousands, so that the others need not be gone through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jobkit.book import git
from jobkit.book.cache.store import Cache
from jobkit.book.git.files_containing import files_containing
from jobkit.book.history.before import before_in_place
from jobkit.book.read.facts import known_facts
from jobkit.book.read.load import load_jobs
from jobkit.book.shelf.opening import Index, kind_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.lint.run.dependents import is_leaned_on, may_have_been_sent
from jobkit.named_tuple import NamedTuple


class Staged(NamedTuple):
    """The files to be checked before a commit, and those jobs as they were in the last one that bind what they are."""

    paths: frozenset[str]
    before: Mapping[str, Job]


_FOR_ALL = frozenset(("bench", "meters", "stock", "board"))


def staged(shelf: Index, cache: Cache | None) -> Staged | None:
    """Pick what the next commit changes, and the jobs that may be in the wrong by it.

    None for all, where it changes what every job is checked against, or takes a file away. Raises GitError.
    """
    # What is not merged yet cannot be committed; git says so.
    changes = [change for change in shelf.changes if change.letter != "U"]
    if any(change.letter == "D" or kind_of(change.path) in _FOR_ALL for change in changes):
        return None
    changed = [one for one in changes if one.was and kind_of(one.path) == "job"]
    pairs = dict(_recalled(changed, cache))
    # Only a job that had been sent is bound to what it was.
    unbound = {path for path, (was, now) in pairs.items() if not may_have_been_sent(was, now)}
    files = (git.ChangedFile(one.path, one.was) for one in changed if one.path not in unbound)
    before = before_in_place(files, shelf)
    pairs |= dict(_read(shelf, {path: job for path, job in before.items() if path not in pairs}))
    moved = [was.id for was, now in pairs.values() if is_leaned_on(was, now)]
    leaning = (path for path in files_containing(shelf.repo, ["jobs"], moved) if kind_of(path) == "job")
    return Staged(frozenset((*(one.path for one in changes), *leaning)), before)


_Pair = tuple[str, tuple[Facts, Facts]]
"""The path of a job, and its facts in the last commit and now."""


def _recalled(changed: Sequence[git.StagedFile], cache: Cache | None) -> Iterator[_Pair]:
    facts = known_facts(
        cache, [key for one in changed for key in ((one.path, one.was), (one.path, one.blob))]
    )
    for one in changed:
        was, now = facts.get((one.path, one.was)), facts.get((one.path, one.blob))
        if was and now:
            yield one.path, (was, now)


def _read(shelf: Index, before: Mapping[str, Job]) -> Iterator[_Pair]:
    for loaded in load_jobs(shelf, before):
        if loaded.job:
            yield loaded.path, (facts_of(before[loaded.path]), facts_of(loaded.job))
