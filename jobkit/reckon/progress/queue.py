"""What to work on next: jobs that can go on, each with its next step, and what can run by itself meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache, partial

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.progress.next_step import next_step
from jobkit.reckon.progress.status import Status, status
from jobkit.reckon.progress.step import NextStep
from jobkit.reckon.suspects.past_causes import past_jobs


class Queued(NamedTuple):
    """An open job, its status and its next step."""

    facts: Facts
    status: Status
    next: NextStep


def queue_of(known: Iterable[Facts], whole: Mapping[str, Job], bench: Bench) -> tuple[Queued, ...]:
    """Order the open ones of these jobs as you work on them: by promise, then by age; those that wait come last.

    `known` are the facts of all jobs, `whole` the jobs of which `needs_job` is true, by path.
    """
    facts = tuple(known)
    by_id = {one.id: one for one in facts}
    past = cache(partial(past_jobs, facts))
    found = (
        Queued(one, status(one), next_step(one, whole.get(one.path), by_id, bench, past)) for one in facts
    )
    return tuple(sorted((one for one in found if one.status.word != "done"), key=_urgency))


def _urgency(one: Queued) -> tuple[bool, str, str, str]:
    facts = one.facts
    return bool(one.next.waits_for), facts.promised or date.max.isoformat(), facts.known_from, facts.id
