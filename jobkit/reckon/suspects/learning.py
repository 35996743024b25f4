"""What the finished jobs of a design teach: how often each cause happens, and what it made fail before the repair."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, PossibleCause
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import CHANGES
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.suspects.observations import observations_of
from jobkit.reckon.suspects.past_causes import PastJob, cause_named, own_words

ENOUGH = 3
"""A probability is learned from so many jobs that observed the symptom, no fewer (our own, no source)."""


class LearnedCause(NamedTuple):
    """A cause as the jobs teach it: `weight` with `jobs` counted in, and what it affects with which probability.

    `listed` is the cause of the board file; None for one that it does not have yet.
    """

    name: str
    part: str
    weight: Decimal
    affects: Mapping[str, float]
    jobs: tuple[str, ...]
    listed: PossibleCause | None = None


def learned_causes(
    past: Sequence[PastJob], whole: Mapping[str, Job], design: Design, bench: Bench
) -> tuple[LearnedCause, ...]:
    """Learn from past jobs, of which `whole` has the jobs by id; the causes of the board file first."""
    groups: dict[str, list[PastJob]] = {}
    for job in past:
        known = cause_named(job, design.causes)
        groups.setdefault((known.name if known else None) or own_words(job), []).append(job)
    listed = {cause.name: cause for cause in design.causes if cause.name}
    order = [name for name in listed if name in groups] + [name for name in groups if name not in listed]
    learned = (_learned(name, groups[name], listed.get(name), whole, bench) for name in order)
    return tuple(one for one in learned if one.jobs)


def _learned(
    name: str, jobs: Sequence[PastJob], listed: PossibleCause | None, whole: Mapping[str, Job], bench: Bench
) -> LearnedCause:
    since = listed.learned if listed else None
    new = [job for job in jobs if since is None or date.fromisoformat(job.day) > since]
    base = listed.weight if listed else Decimal(0)
    known = [whole[job.job] for job in jobs if job.job in whole]
    return LearnedCause(
        name,
        (listed.part if listed else None) or jobs[0].part,
        base + len(new),
        shown_by(known, bench),
        tuple(job.job for job in new),
        listed,
    )


def shown_by(jobs: Iterable[Job], bench: Bench) -> dict[str, float]:
    """Return with which probability each symptom failed before the repair of these jobs, if enough of them looked.

    Of n jobs of which f failed it is (f + 1) / (n + 2): Laplace's rule of succession, from memory.
    """
    looked: dict[str, int] = {}
    failed: dict[str, list[str]] = {}
    for job in jobs:
        for one in observations_of(before_repair(job), bench, ()).counted:
            looked[one.symptom.subject] = looked.get(one.symptom.subject, 0) + 1
            if one.failed:
                failed.setdefault(one.symptom.name, []).append(one.symptom.subject)
    return {
        name: round((len(subjects) + 1) / (looked[subjects[0]] + 2), 2)
        for name, subjects in sorted(failed.items())
        if looked[subjects[0]] >= ENOUGH
    }


def before_repair(job: Job) -> Job:
    """Return a job as it was before the first piece of work that may have changed what it shows."""
    begun = min((one.at for one in job.work if one.at and one.did in CHANGES), default=None)
    if begun is None:
        return job
    return job._replace(
        readings=tuple(one for one in job.readings if one.at and one.at < begun),
        seen=tuple(one for one in job.seen if one.at and one.at < begun),
        injections=tuple(one for one in job.injections if one.at and one.at < begun),
        trials=tuple(one for one in job.trials if one.at and one.at < begun),
        work=(),
    )
