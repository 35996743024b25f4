"""Which cautions to say at an act: the first of its kind in a job, while there is still time to heed them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.cautions import (
    BEFORE_INJECTION,
    BEFORE_POWER,
    BEFORE_SOLDERING,
    LITHIUM,
    OVEN,
    REMOVAL_ALLOY,
    STATIC,
    Caution,
    of_what_is_named,
)
from jobkit.jobs.job import Job
from jobkit.reckon.suspects.before_power import cold_state

_SOLDERING = frozenset(("remove", "prepare", "fit", "swap", "reflow", "reball", "rebuild-pads"))


def near_entry(job: Job, sort: str, entry: Mapping[str, Any]) -> tuple[Caution, ...]:
    """Name the cautions for an entry that is being written; `job` is as it was before."""
    if sort == "work":
        return tuple(_near_work(job, entry))
    return BEFORE_INJECTION if sort == "inject" and not job.injections else ()


def near_power(before: Job, after: Job, bench: Bench) -> tuple[Caution, ...]:
    """Name the cautions for the first power: at the readings that allow it, or at the first one under power."""
    if had_power(before):
        return ()
    is_next = cold_state(after, bench).is_read and not cold_state(before, bench).is_read
    return BEFORE_POWER if is_next or had_power(after) else ()


def had_power(job: Job) -> bool:
    """Tell whether a job says that its board had power on the bench."""
    return bool(job.trials) or any(one.state == "powered" for one in job.readings)


def at_the_bench(job: Job) -> tuple[Caution, ...]:
    """Name the cautions for a person who wants to do what was done in a job."""
    fresh = job._replace(work=())
    worked = (_near_work(fresh, {"did": one.did, "removal_alloy": one.removal_alloy}) for one in job.work)
    injected = BEFORE_INJECTION if job.injections else ()
    power = BEFORE_POWER if had_power(job) else ()
    return tuple(dict.fromkeys((STATIC, *chain.from_iterable(worked), *injected, *power)))


def _near_work(job: Job, entry: Mapping[str, Any]) -> Iterator[Caution]:
    done = {one.did for one in job.work}
    if entry.get("did") in _SOLDERING and done.isdisjoint(_SOLDERING):
        yield from BEFORE_SOLDERING
        yield from (one for one in of_what_is_named(job) if one is LITHIUM)
    if entry.get("removal_alloy") and not any(one.removal_alloy for one in job.work):
        yield REMOVAL_ALLOY
    if entry.get("did") == "bake" and "bake" not in done:
        yield OVEN
