"""Which of the usual cautions belong on the paper of a job, by what was done to its board."""

from __future__ import annotations

import re
from collections.abc import Iterator

from jobkit.jobs.cautions import (
    AGAIN,
    COOLER,
    LEAD,
    MAINS,
    STATIC,
    UNPROVED,
    Caution,
    of_what_is_named,
)
from jobkit.jobs.job import Job

NOT_REPAIRED = ("beyond-repair", "declined")
KEPT = ("kept-for-parts", "recycled")

_LEADED = re.compile(r"Pb[0-9]")


def cautions(job: Job) -> tuple[str, ...]:
    """Name the cautions for the person who fits the board again; none for a board that does not go back."""
    if job.fate and job.fate.what in KEPT:
        return ()
    return tuple(one.name for one in _cautions(job))


def _cautions(job: Job) -> Iterator[Caution]:
    if job.outcome in NOT_REPAIRED:
        yield UNPROVED
    yield from (STATIC, MAINS)
    yield from of_what_is_named(job)
    if any(work.did == "thermal" for work in job.work):
        yield COOLER
    if any(_LEADED.search(work.alloy or "") for work in job.work):
        yield LEAD
    if job.outcome == "no-fault-found":
        yield AGAIN
