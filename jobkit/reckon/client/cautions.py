"""Which of the usual cautions belong on the paper of a job, by what was done to its board."""

from __future__ import annotations

import re
from collections.abc import Iterator

from jobkit.jobs.cautions import (
    AGAIN,
    COOLER,
    FAN,
    LEAD,
    MAINS,
    PACKING,
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
    """Name the cautions for the person who fits the board again; none for a board that does not go back.

    For a board that is still on its way they are for the person who sends it.
    """
    if job.fate and job.fate.what in KEPT:
        return ()
    if job.dates.received is None:
        return tuple(one.name for one in (STATIC, PACKING, *of_what_is_named(job)) if one is not FAN)
    return tuple(one.name for one in _cautions(job))


def _cautions(job: Job) -> Iterator[Caution]:
    if job.outcome in NOT_REPAIRED:
        yield UNPROVED
    yield from (STATIC, MAINS)
    named = tuple(of_what_is_named(job))
    yield from (one for one in named if one is FAN)
    if any(work.did == "thermal" for work in job.work):
        yield COOLER
    if any(_LEADED.search(work.alloy or "") for work in job.work):
        yield LEAD
    yield from (one for one in named if one is not FAN)
    if job.outcome == "no-fault-found":
        yield AGAIN
