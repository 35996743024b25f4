"""Look at the book as of the end of a day: whatever is dated later does not exist yet."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.job import Dates, Job, Price, Warranty
from jobkit.jobs.sorts import ENTRIES, Sort

# A promise is about a later day, but was given before it: it is known from the start.
_DAYS = tuple(name for name in Dates._fields if name != "promised")


def facts_as_of(facts: Iterable[Facts], day: date) -> list[Facts]:
    """Take the facts that were known at the end of `day`; jobs announced or received later are left out."""
    last = day.isoformat()
    return [one if one.last_day <= last else _known(one, last) for one in facts if one.known_from <= last]


def known_on(facts: Iterable[Facts], day: date) -> dict[str, Facts]:
    """Give by id what was known of each job at the end of `day`."""
    return {one.id: one for one in facts_as_of(facts, day)}


def job_as_of(job: Job, day: date) -> Job:
    """Take of one job what was known at the end of `day`."""
    dates = job.dates._replace(**{name: None for name in _DAYS if (getattr(job.dates, name) or day) > day})
    over = job.dates.finished or job.dates.declined
    job = _unfinished(job) if over and over > day else job
    if job.price and job.dates.quoted and job.dates.quoted > day:
        job = job._replace(price=job.price._replace(quoted=None, proposal=None))
    if job.invoice and (job.invoice.on or day) > day:
        job = job._replace(invoice=None)
    for sort in ENTRIES:
        entries = sort.of(job)
        if entries and sort.day:
            job = sort.with_entries(job, _until(sort, entries, day))
    return job._replace(dates=dates, warranty=_warranty_as_of(job.warranty, day))


def _known(facts: Facts, last: Day) -> Facts:
    later: dict[str, Any] = {name: "" for name in _DAYS if getattr(facts, name) > last}
    if ("finished" if facts.finished else "declined") in later:
        # What a job came to is known when it is finished, or declined, not before.
        later |= dict.fromkeys(
            ("outcome", "cause_part", "cause_fault", "cause_name", "comeback_found", "fate", "price_charged"),
            "",
        )
        later |= {"price_lines": (), "discounts": ()}
        later["owner_agreed"] = False
    if facts.invoice_on > last:
        later |= {"invoice_number": "", "invoice_on": ""}
    if "quoted" in later:
        later["price_quoted"] = ""
    if facts.warranty_void_on > last:
        later |= {"warranty_void": "", "warranty_void_on": ""}
    return facts._replace(
        **later,
        price_agreed=tuple(one for one in facts.price_agreed if one[0] <= last),
        payments=tuple(one for one in facts.payments if one.day <= last),
        credits=tuple(one for one in facts.credits if one.day <= last),
        refunds=tuple(one for one in facts.refunds if one.day <= last),
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
        outcome=None,
        cause=None,
        comeback=comeback,
        fate=None,
        price=price._replace(charged=None, lines=(), discounts=()),
    )


def _warranty_as_of(warranty: Warranty, day: date) -> Warranty:
    later = warranty.void_on is not None and warranty.void_on > day
    return warranty._replace(void=None, void_on=None) if later else warranty


def _until(sort: Sort, entries: tuple[Any, ...], day: date) -> tuple[Any, ...]:
    """Keep the entries known at the end of a day; what ends later has not ended."""
    known = (entry for entry in entries if _reached(sort.value(entry, sort.day), day))
    if not sort.end:
        return tuple(known)
    return tuple(
        entry
        if _reached(sort.value(entry, sort.end), day)
        else entry._replace(**{sort.field_of(sort.end): None})
        for entry in known
    )


def _reached(moment: date | datetime | None, day: date) -> bool:
    if moment is None:
        return True
    return (moment.date() if isinstance(moment, datetime) else moment) <= day
