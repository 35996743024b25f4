"""Which causes the finished jobs of a design had, and what that makes of the weights of its board file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

from jobkit.jobs.design import Design, PossibleCause
from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.proportion import Interval, wilson

GOOD = ("repaired", "beyond-repair")
"""Outcomes of jobs whose cause was found: nothing found and work declined teach nothing of causes."""


class PastJob(NamedTuple):
    """A finished job of a design whose cause is known: its id, the day it was finished, and the cause."""

    job: str
    day: str
    name: str
    part: str
    fault: str


PastCauses = Callable[[str], Sequence[PastJob]]
"""Gives the past jobs of a design by its name."""


def no_past(design: str) -> tuple[PastJob, ...]:
    """Give no jobs, where nothing is known of the past of a design."""
    del design
    return ()


class CauseCount(NamedTuple):
    """How often a cause was found: the jobs, and its share of all finished jobs with a cause."""

    cause: str
    jobs: tuple[str, ...]
    share: float
    interval: Interval


def past_jobs(facts: Iterable[Facts], design: str) -> tuple[PastJob, ...]:
    """List the finished jobs of a design whose cause was found, in the order of their ids."""
    found = (
        PastJob(one.id, one.finished, one.cause_name, one.cause_part, one.cause_fault)
        for one in facts
        if one.design == design and one.finished and one.outcome in GOOD
    )
    return tuple(sorted(one for one in found if one.name or one.part or one.fault))


def cause_named(job: PastJob, causes: Iterable[PossibleCause]) -> PossibleCause | None:
    """Find the cause of the board file that a job had: by its name, else by its part."""
    known = tuple(causes)
    by_name = {cause.name: cause for cause in known}
    if job.name:
        return by_name.get(job.name)
    return next((cause for cause in known if job.part and cause.part == job.part), by_name.get(job.fault))


def own_words(job: PastJob) -> str:
    """Name the cause of a job by the words of the job."""
    return job.name or " ".join(filter(None, (job.part, job.fault)))


def counts(jobs: Sequence[PastJob], design: Design | None) -> tuple[CauseCount, ...]:
    """Count the causes of past jobs, the most frequent first; the board file does not have to list them."""
    by_cause: dict[str, list[str]] = {}
    for job in jobs:
        known = cause_named(job, design.causes) if design else None
        name = (known.name if known else None) or own_words(job)
        by_cause.setdefault(name, []).append(job.job)
    found = (
        CauseCount(name, tuple(ids), len(ids) / len(jobs), wilson(len(ids), len(jobs)))
        for name, ids in by_cause.items()
    )
    return tuple(sorted(found, key=lambda one: (-len(one.jobs), one.cause)))


def counted_since(jobs: Sequence[PastJob], design: Design) -> Mapping[str, int]:
    """Count the jobs of each cause of the board file; those that its weight already contains are left out.

    A weight that was learned contains the jobs up to the day that is beside it.
    """
    found: Counter[str] = Counter()
    for job in jobs:
        cause = cause_named(job, design.causes)
        if cause and cause.name and (cause.learned is None or job.day > cause.learned.isoformat()):
            found[cause.name] += 1
    return found
