"""What one change of a job's file says, in the words of the job."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.history import FileChange, JobState
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.changes.job_changes import ADDED, CHANGED, REMOVED, Change, JobVersion, changes

Readable = dict[str, Job | None]
"""What was last known of a job, by the blob of a state that cannot be read."""


class Benches(NamedTuple):
    """What the bench knew before and after: its limits and meters give the readings their verdicts."""

    before: Bench
    after: Bench


def told(file_change: FileChange, benches: Benches, readable: Readable) -> Iterator[Change]:
    """Tell a change; a state that cannot be read is noted in `readable`, and the next is compared with that before."""
    before, after = file_change.before, file_change.after
    if before and after and before.path != after.path:
        yield Change("file", CHANGED, f"moved from {before.path} to {after.path}")
    known = _job(before, readable)
    if before and not after:
        yield Change("job", REMOVED, "removed from the book")
    elif after and after.job is None:
        readable[after.blob] = known
        yield from _unread(before, after)
    elif after and after.job:
        found = changes(known and JobVersion(known, benches.before), JobVersion(after.job, benches.after))
        yield from found or _unsaid(before, after)
    yield from (Change("file", how, f"{name} {how}") for name, how in file_change.attached)


def _job(state: JobState | None, readable: Readable) -> Job | None:
    return (state.job or readable.get(state.blob)) if state else None


def _unread(before: JobState | None, after: JobState) -> Iterator[Change]:
    if before is None or before.blob != after.blob:
        why = (
            "a state of the file that this clone does not have"
            if after.missing
            else "the file cannot be read as TOML"
        )
        yield Change("file", CHANGED if before else ADDED, why)


def _unsaid(before: JobState | None, after: JobState) -> Iterator[Change]:
    if before and before.blob != after.blob:
        yield Change("file", CHANGED, "comments, layout or the bench's own keys")
