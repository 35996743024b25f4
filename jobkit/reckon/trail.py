"""The trail of a job: what happened to its file, commit by commit, in the words of the job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, tzinfo
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.history import Moment, State, Turn
from jobkit.jobs.job import Job
from jobkit.reckon.changes import ADDED, CHANGED, REMOVED, Change, Known, changes


class Entry(NamedTuple):
    """What one commit did to the job: `at` is the bench's local time, `subject` the first line of its message."""

    commit: str
    at: datetime
    by: str
    subject: str
    changes: tuple[Change, ...]


def trail(moments: Iterable[Moment], bench: Bench, zone: tzinfo, on: date) -> tuple[Entry, ...]:
    """Tell the moments of a job until the end of a day, in the order given.

    Readings are held to the limits of `bench`, whatever was known at the time. A commit that changed only remarks or
    layout says so; of a merge only what none of its parents had is told.
    """
    readable: dict[str, Job | None] = {}
    entries = []
    for moment in moments:
        at = datetime.fromtimestamp(moment.when, zone).replace(tzinfo=None)
        told = tuple(_told(moment, bench, readable))
        if told and at.date() <= on:
            entries.append(Entry(moment.commit, at, moment.author, moment.subject, told))
    return tuple(entries)


def _told(moment: Moment, bench: Bench, readable: dict[str, Job | None]) -> Iterator[Change]:
    """Tell what every parent lacks; the merge of two benches' entries is no news."""
    first, *others = [list(_of_turn(turn, bench, readable)) for turn in moment.turns]
    yield from (change for change in first if all(change in other for other in others))


def _of_turn(turn: Turn, bench: Bench, readable: dict[str, Job | None]) -> Iterator[Change]:
    before, after = turn.before, turn.after
    if before and after and before.path != after.path:
        yield Change("file", CHANGED, f"moved from {before.path} to {after.path}")
    known = _job(before, readable)
    if before and not after:
        yield Change("job", REMOVED, "taken out of the book")
    elif after and after.job is None:
        readable[after.blob] = known
        yield Change("file", CHANGED if before else ADDED, _why_unread(after))
    elif after and after.job:
        found = changes(known and Known(known, bench), Known(after.job, bench))
        yield from found or _unsaid(before, after)
    yield from (Change("file", how, f"{name} {how}") for name, how in turn.attached)


def _unsaid(before: State | None, after: State) -> Iterator[Change]:
    if before and before.blob != after.blob:
        yield Change("file", CHANGED, "remarks, layout or the bench's own keys")


def _job(state: State | None, readable: dict[str, Job | None]) -> Job | None:
    """Give the job in a state; of one that cannot be read, what was known of it before."""
    if state is None:
        return None
    return state.job or readable.get(state.blob)


def _why_unread(state: State) -> str:
    if state.missing:
        return "a state of the file that this clone lacks"
    return "the file cannot be read as TOML"
