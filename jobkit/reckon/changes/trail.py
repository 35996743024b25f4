"""The trail of a job: what happened to its file, commit by commit, in the words of the job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, tzinfo

from jobkit.jobs.bench import Bench
from jobkit.jobs.history import CommitChanges
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.changes.commits import Benches, Readable, told
from jobkit.reckon.changes.job_changes import Change, JobVersion
from jobkit.reckon.changes.retelling import Retelling


class TrailEntry(NamedTuple):
    """What one commit did to the job: `at` is the bench's local time, `subject` the first line of its message."""

    commit: str
    at: datetime
    by: str
    subject: str
    changes: tuple[Change, ...]


def trail(commits: Iterable[CommitChanges], bench: Bench, zone: tzinfo, on: date) -> tuple[TrailEntry, ...]:
    """Tell the commits of a job until the end of a day, in the order in which they were written down.

    That is the order of the authors' clocks: a rebase puts what one bench did on Monday behind the other's Friday.
    Readings are checked against the limits of `bench`, whatever was known at the time. A commit that changed only
    remarks or layout says so; of a merge only what none of its parents had is told. What came by two ways, as a
    cherry-picked commit does, is told once; and where a merge settled for another text than was told last, the last
    merge tells what the file says.
    """
    history: list[CommitChanges] = list(commits)
    readable: Readable = {}
    entries = sorted((_entry(one, bench, zone, readable) for one in history), key=lambda one: one.at)
    final = _final(history)
    retelling = Retelling(JobVersion(final, bench) if final else None)
    told_once = [one._replace(changes=retelling.news(one.changes)) for one in entries]
    whole = _with_last_words(told_once, history, retelling)
    return tuple(one for one in whole if one.changes and one.at.date() <= on)


def _entry(one: CommitChanges, bench: Bench, zone: tzinfo, readable: Readable) -> TrailEntry:
    at = datetime.fromtimestamp(one.when, zone).replace(tzinfo=None)
    return TrailEntry(
        one.commit, at, one.author, one.subject, tuple(_told(one, Benches(bench, bench), readable))
    )


def _told(commit_changes: CommitChanges, benches: Benches, readable: Readable) -> Iterator[Change]:
    """Tell what every parent lacks; the merge of two benches' entries is not news."""
    if commit_changes.took_a_side:
        return
    first, *others = [
        list(told(file_change, benches, readable)) for file_change in commit_changes.file_changes
    ]
    yield from (change for change in first if all(change in other for other in others))


def _final(history: Sequence[CommitChanges]) -> Job | None:
    """Give the job as the last commit that says something of its file left it."""
    for one in reversed(history):
        for file_change in one.file_changes:
            if file_change.before or file_change.after:
                return file_change.after.job if file_change.after else None
    return None


def _with_last_words(
    entries: Sequence[TrailEntry], history: Sequence[CommitChanges], retelling: Retelling
) -> list[TrailEntry]:
    """Let the last merge tell what the file says where that is not what was told last."""
    merges = [one.commit for one in history if one.joins]
    last_words = retelling.last_words() if merges else ()
    return [
        one._replace(changes=(*one.changes, *last_words)) if one.commit in merges[-1:] else one
        for one in entries
    ]
