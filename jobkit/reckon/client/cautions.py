"""Which of the usual cautions belong on the paper of a job, by what was done to its board."""

from __future__ import annotations

import re
from collections.abc import Iterator

from jobkit.jobs.cautions import AGAIN, COOLER, FAN, LEAD, LITHIUM, MAINS, STATIC, UNPROVED, Caution
from jobkit.jobs.job import Job

NOT_REPAIRED = ("beyond-repair", "declined")
KEPT = ("kept-for-parts", "recycled")

_FAN = re.compile(r"\bfans?\b", re.IGNORECASE)
_LITHIUM = re.compile(r"\b(lithium|battery|coin cell)\b", re.IGNORECASE)
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
    words = " ".join(_words(job))
    if _FAN.search(words):
        yield FAN
    if any(work.did == "thermal" for work in job.work):
        yield COOLER
    if any(_LEADED.search(work.alloy or "") for work in job.work):
        yield LEAD
    if _LITHIUM.search(words):
        yield LITHIUM
    if job.outcome == "no-fault-found":
        yield AGAIN


def _words(job: Job) -> Iterator[str]:
    """Collect what was said of the fault, the parts and the work."""
    yield from (job.title or "", job.intake.complaint or "", *job.intake.condition)
    if job.cause:
        yield from (job.cause.part or "", job.cause.fault or "")
    for work in job.work:
        yield from (work.part or "", work.what or "")
    yield from (used.item or "" for used in job.used)
