"""The trail of a job: what happened to its file, commit by commit, in the words of the job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, tzinfo
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.history import CommitChanges
from jobkit.reckon.changes.commits import Benches, Readable, told
from jobkit.reckon.changes.job_changes import Change


class Entry(NamedTuple):
    """What one commit did to the job: `at` is the bench's local time, `subject` the first line of its message."""

    commit: str
    at: datetime
    by: str
    subject: str
    changes: tuple[Change, ...]


def trail(commits: Iterable[CommitChanges], bench: Bench, zone: tzinfo, on: date) -> tuple[Entry, ...]:
    """Tell the commits of a job until the end of a day, in the order in which they were written down.

    That is the order of the authors' clocks: a rebase puts what one bench did on Monday behind the other's Friday.
    Readings are held to the limits of `bench`, whatever was known at the time. A commit that changed only remarks or
    layout says so; of a merge only what none of its parents had is told.
    """
    readable: Readable = {}
    entries = []
    for commit_changes in commits:
        at = datetime.fromtimestamp(commit_changes.when, zone).replace(tzinfo=None)
        found = tuple(_told(commit_changes, Benches(bench, bench), readable))
        if found and at.date() <= on:
            entries.append(
                Entry(commit_changes.commit, at, commit_changes.author, commit_changes.subject, found)
            )
    return tuple(sorted(entries, key=lambda entry: entry.at))


def _told(commit_changes: CommitChanges, benches: Benches, readable: Readable) -> Iterator[Change]:
    """Tell what every parent lacks; the merge of two benches' entries is no news."""
    first, *others = [
        list(told(file_change, benches, readable)) for file_change in commit_changes.file_changes
    ]
    yield from (change for change in first if all(change in other for other in others))
