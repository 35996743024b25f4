"""Look at the book as of the end of a day: whatever is dated later does not exist yet."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any, Protocol, TypeVar

from jobkit.jobs.entries import Wait
from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.job import Dates, Job, Price, Warranty

# A promise is about a later day, but was given before it: it is known from the start.
_DAYS = tuple(name for name in Dates._fields if name != "promised")


class _Dated(Protocol):
    @property
    def at(self) -> datetime | None: ...


_Entry = TypeVar("_Entry", bound=_Dated)


def facts_as_of(facts: Iterable[Facts], day: date) -> list[Facts]:
    """Take the facts that were known at the end of `day`; jobs received later are left out."""
    last = day.isoformat()
    return [
        one if one.last_day <= last else _known(one, last)
        for one in facts
        if not one.received or one.received <= last
    ]


def known_on(facts: Iterable[Facts], day: date) -> dict[str, Facts]:
    """Give by id what was known of each job at the end of `day`."""
    return {one.id: one for one in facts_as_of(facts, day)}


def job_as_of(job: Job, day: date) -> Job:
    """Take of one job what was known at the end of `day`."""
    dates = job.dates._replace(**{name: None for name in _DAYS if (getattr(job.dates, name) or day) > day})
    over = job.dates.finished or job.dates.declined
    job = _unfinished(job) if over and over > day else job
    quoted_later = bool(job.dates.quoted and job.dates.quoted > day)
    price = job.price and job.price._replace(
        quoted=None if quoted_later else job.price.quoted,
        agreed=tuple(one for one in job.price.agreed if one.on is None or one.on <= day),
        payments=tuple(one for one in job.price.payments if one.on is None or one.on <= day),
        credits=tuple(one for one in job.price.credits if one.on is None or one.on <= day),
    )
    return job._replace(
        dates=dates,
        price=price,
        warranty=_warranty_as_of(job.warranty, day),
        waits=tuple(_wait_as_of(wait, day) for wait in job.waits if wait.since is None or wait.since <= day),
        readings=_until(job.readings, day),
        injects=_until(job.injects, day),
        seen=_until(job.seen, day),
        pads=_until(job.pads, day),
        work=_until(job.work, day),
        used=_until(job.used, day),
        trials=_until(job.trials, day),
        amended=_until(job.amended, day),
    )


def _known(facts: Facts, last: Day) -> Facts:
    later: dict[str, Any] = {name: "" for name in _DAYS if getattr(facts, name) > last}
    if ("finished" if facts.finished else "declined") in later:
        # What a job came to is known when it is finished, or declined, not before.
        later |= dict.fromkeys(
            ("outcome", "cause_part", "cause_fault", "comeback_found", "fate", "price_charged"), ""
        )
        later["price_lines"] = ()
    if "quoted" in later:
        later["price_quoted"] = ""
    if facts.warranty_void_on > last:
        later |= {"warranty_void": "", "warranty_void_on": ""}
    return facts._replace(
        **later,
        price_agreed=tuple(one for one in facts.price_agreed if one[0] <= last),
        payments=tuple(one for one in facts.payments if one.day <= last),
        credits=tuple(one for one in facts.credits if one.day <= last),
        waits=tuple(
            wait if wait.until <= last else wait._replace(until="")
            for wait in facts.waits
            if wait.since <= last
        ),
        work=tuple(one for one in facts.work if one.day <= last),
        used=tuple(one for one in facts.used if one.day <= last),
        trials=tuple(one for one in facts.trials if one.day <= last),
        proof=tuple(one for one in facts.proof if one.day <= last),
        last_day=last,
    )


def _unfinished(job: Job) -> Job:
    price = job.price or Price()
    comeback = job.comeback and job.comeback._replace(found=None)
    return job._replace(
        outcome=None, cause=None, comeback=comeback, fate=None, price=price._replace(charged=None, lines=())
    )


def _warranty_as_of(warranty: Warranty, day: date) -> Warranty:
    later = warranty.void_on is not None and warranty.void_on > day
    return warranty._replace(void=None, void_on=None) if later else warranty


def _until(entries: tuple[_Entry, ...], day: date) -> tuple[_Entry, ...]:
    return tuple(entry for entry in entries if entry.at is None or entry.at.date() <= day)


def _wait_as_of(wait: Wait, day: date) -> Wait:
    return wait._replace(until=None) if wait.until and wait.until > day else wait
