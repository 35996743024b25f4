"""What `read` and `walk` share: the situation at the bench, and what is said of a reading once it is written."""

from __future__ import annotations

from jobkit.cli.streams import say
from jobkit.cli.writing import Writing, tell
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.pages.echo import reading_line, reading_reason
from jobkit.reckon.limits import Judged, judge_reading
from jobkit.reckon.taking import Situation


def situation(writing: Writing, job: Job) -> Situation:
    """Say who measures which job, and when."""
    walking = writing.desk.walking
    proving = walking is not None and walking == (job.id, "proof")
    return Situation(job, writing.book.bench, writing.now, writing.by, writing.desk.meters, proving)


def tell_reading(reading: Reading, there: Situation, *more: str) -> Judged:
    """Say a reading that was written, with its verdict; a proof reading out of its limit is said loudly."""
    judged = judge_reading(reading, there.bench, there.design)
    reason = reading_reason(judged)
    tell(reading_line(judged), *(f"    {line}" for line in (reason, *more) if line))
    if judged.verdict and judged.verdict.word == "out" and reading.when == "proof":
        value = reading.value.text if reading.value else ""
        say(f"jobkit: OUT: {reading.point} reads {value}; {there.job.id} cannot be released on this")
    return judged
