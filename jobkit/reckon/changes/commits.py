"""What one turn of a job's history comes to, in the words of the job."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.history import State, Turn
from jobkit.jobs.job import Job
from jobkit.reckon.changes.job_changes import ADDED, CHANGED, REMOVED, Change, Known, changes

Readable = dict[str, Job | None]
"""What was last known of a job, by the blob of a state that cannot be read."""


class Benches(NamedTuple):
    """What the bench knew before and after: its limits and meters give the readings their verdicts."""

    before: Bench
    after: Bench


def told(turn: Turn, benches: Benches, readable: Readable) -> Iterator[Change]:
    """Tell a turn; a state that cannot be read is noted in `readable`, and the next is held to the one before it."""
    before, after = turn.before, turn.after
    if before and after and before.path != after.path:
        yield Change("file", CHANGED, f"moved from {before.path} to {after.path}")
    known = _job(before, readable)
    if before and not after:
        yield Change("job", REMOVED, "removed from the book")
    elif after and after.job is None:
        readable[after.blob] = known
        yield from _unread(before, after)
    elif after and after.job:
        found = changes(known and Known(known, benches.before), Known(after.job, benches.after))
        yield from found or _unsaid(before, after)
    yield from (Change("file", how, f"{name} {how}") for name, how in turn.attached)


def _job(state: State | None, readable: Readable) -> Job | None:
    return (state.job or readable.get(state.blob)) if state else None


def _unread(before: State | None, after: State) -> Iterator[Change]:
    if before is None or before.blob != after.blob:
        why = (
            "a state of the file that this clone does not have"
            if after.missing
            else "the file cannot be read as TOML"
        )
        yield Change("file", CHANGED if before else ADDED, why)


def _unsaid(before: State | None, after: State) -> Iterator[Change]:
    if before and before.blob != after.blob:
        yield Change("file", CHANGED, "comments, layout or the bench's own keys")
