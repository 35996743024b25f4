"""The earlier stays of a board that a comeback names, read as attachments are."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import job_file


def stays_that_led_to(job: Job, bench: Bench) -> tuple[Job, ...]:
    """Give the earlier jobs that `comeback.of` leads back to, the oldest first, and the job itself last."""
    found = [job]
    before = job.comeback.of if job.comeback else None
    while before and before not in {one.id for one in found}:
        path = job_file(before)
        earlier = bench.contents.made_of(path, _reader(path))
        if earlier is None:
            break
        found.append(earlier)
        before = earlier.comeback.of if earlier.comeback else None
    return tuple(reversed(found))


@cache
def _reader(path: str) -> Callable[[bytes], Job | None]:
    """Return the one function that reads the job of a path, so that what it made is remembered."""
    # Most jobs are no comeback.
    from jobkit.book.read.load import load_job  # noqa: PLC0415

    return lambda content: load_job(path, content).job
