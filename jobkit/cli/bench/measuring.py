"""What `read` and `walk` share: the situation at the bench, and what is said of a reading once it is written."""

from __future__ import annotations

from jobkit.book.write.session import Walking
from jobkit.cli.bench.writing import Writing, tell
from jobkit.cli.call.streams import say
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.pages.bench.confirmations import reading_line, reading_reason
from jobkit.reckon.entry.defaults import last_soldered
from jobkit.reckon.entry.reading_entry import BenchContext
from jobkit.reckon.readings.limits import Judged, judge_reading
from jobkit.reckon.readings.meters import value_words


def bench_context(writing: Writing, job: Job) -> BenchContext:
    """Say who measures which job, and when."""
    proving = _is_proving(writing.session.walking, job)
    return BenchContext(job, writing.book.bench, writing.now, writing.by, writing.session.meters, proving)


def walk_begun(writing: Writing, job: Job, stage: str) -> Walking:
    """Give what is to be remembered of a walk."""
    return Walking(job.id, stage, writing.now.isoformat(), _entries(job))


def _is_proving(walk: Walking | None, job: Job) -> bool:
    """Tell whether a walk of the proof was begun, nothing was soldered since, and the job is still the one of then.

    A file that was made again under the same id has fewer entries.
    """
    if walk is None or (walk.job, walk.stage) != (job.id, "proof"):
        return False
    soldered = last_soldered(job)
    return walk.entries <= _entries(job) and not (
        soldered and walk.since and soldered.isoformat() > walk.since
    )


def _entries(job: Job) -> int:
    return len(job.readings) + len(job.work)


def tell_reading(reading: Reading, context: BenchContext, *more: str) -> Judged:
    """Say a reading that was written, with its verdict; a proof reading out of its limit is said loudly."""
    judged = judge_reading(reading, context.bench, context.design)
    reason = reading_reason(judged)
    tell(reading_line(judged), *(f"    {line}" for line in (reason, *more) if line))
    if judged.verdict and judged.verdict.word == "out" and reading.stage == "proof":
        value = value_words(judged.corrected) if judged.corrected else ""
        say(f"jobkit: OUT: {reading.point} reads {value}: do not release {context.job.id} on this reading")
    return judged
