"""Days and times: their order, and what is outside the job's time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from jobkit.jobs.bench import Bench
from jobkit.jobs.date_order import ORDER
from jobkit.jobs.entries import Wait
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Dates, Job
from jobkit.jobs.sorts import ENTRIES
from jobkit.lint.protocols import JobSummary
from jobkit.lint.registry import Found, FoundIn, live_rule, own_look, rule

_FROM_AFAR = frozenset(("quoted", "promised", "agreed", "declined"))
"""What may be settled with the client of a board that was announced, before it is here."""


@rule("error")
def date_order(job: Job, _bench: Bench) -> Iterator[Found]:
    """Dates run backwards.

    What it finds: a date that is before one that must precede it: nothing before receipt, no agreement before the
    quote, no finish before the start, nothing sent or collected before it is finished. While a board that was announced
    is on its way, a price may be quoted and agreed to.

    Why it matters: status, turnaround and warranty are counted from these dates.

    How to fix: correct the later or the earlier date; the finding names both.

    Example: `finished = 2026-10-20` under `started = 2026-10-22`.
    """
    given = job.dates._asdict()
    told: set[str] = set()
    for one, then in ORDER:
        first = "announced" if given["announced"] and one == "received" and then in _FROM_AFAR else one
        before, after = given[first], given[then]
        if before and after and after < before and then not in told:
            told.add(then)
            message = f"{then} {after} is before {first} {before}"
            yield Found(("dates", then), then, message, f"correct {then} or {first}")


@rule("warning")
def date_missing(job: Job, _bench: Bench) -> Iterator[Found]:
    """A date is missing that another key needs.

    What it finds: a board sent, collected or with an outcome, but never finished; one repaired and finished, but never
    started; one announced that was worked on or has left, but was never received; a quoted price without the day of the
    quote; an agreement without `agreed` on a board not yet started; an outcome "declined" without the day.

    Why it matters: the status of a job is derived from its dates, so a missing date gives a wrong status.

    How to fix: add the date under [dates].

    Example: `sent = 2026-10-26` without `finished`.
    """
    dates = job.dates
    for key, because in _needed(job, dates):
        if getattr(dates, key) is None:
            yield Found(("dates", key), key, f'"{key}" is missing: {because}', f"add {key} under [dates]")


def _needed(job: Job, dates: Dates) -> Iterator[tuple[str, str]]:
    if dates.announced and (dates.started or dates.finished or dates.sent or dates.collected):
        yield "received", "the board was worked on, or has left"
    declined = job.outcome == "declined"
    if declined:
        yield "declined", 'the outcome is "declined"'
    elif dates.declined is None:
        if dates.sent or dates.collected:
            yield "finished", f"the board has been {'sent' if dates.sent else 'collected'}"
        elif job.outcome:
            yield "finished", f'the outcome is "{job.outcome}"'
    if job.outcome == "repaired" and dates.finished:
        yield "started", "the board has been repaired"
    if job.price and job.price.quoted:
        yield "quoted", "a price has been quoted"
    if job.price and job.price.agreements and not (dates.started or dates.finished):
        yield "agreed", "a price has been agreed to"


@rule("error")
def wait_order(job: Job, _bench: Bench) -> Iterator[Found]:
    """A wait ends before it begins.

    What it finds: a [[wait]] whose `until` is before its `since`, or that begins before the board was received. A wait
    for shipping may begin as soon as the board was announced.

    Why it matters: days of waiting are counted separately from days of work.

    How to fix: correct `until` or `since`.

    Example: `since = 2026-10-22` with `until = 2026-10-12`.
    """
    for wait in job.waits:
        name, first = _begins(wait, job.dates)
        if wait.since and wait.until and wait.until < wait.since:
            message = f"until {wait.until} is before since {wait.since}"
            yield Found((*wait.path, "until"), wait.reason or "", message, "correct until or since")
        if wait.since and first and wait.since < first:
            message = f"since {wait.since} is before the board was {name} ({first})"
            yield Found((*wait.path, "since"), wait.reason or "", message, f"correct since, or {name}")


def _begins(wait: Wait, dates: Dates) -> tuple[str, date | None]:
    """Tell the first day on which a job may wait, and its name."""
    if dates.announced and (wait.reason == "shipping" or not dates.received):
        return "announced", dates.announced
    return "received", dates.received


@rule("error")
def entry_outside_job(job: Job, _bench: Bench) -> Iterator[Found]:
    """An entry is dated before the board came or after it had gone.

    What it finds: a reading, an injection, an observation, a pad, a piece of work, a part used or a trial whose `at` is
    before `received`, or after `sent` (`collected` where it was never sent); any of them where the board was only
    announced. A board kept for parts is not gone. Notes and messages may have any date.

    Why it matters: a board that is not here cannot be measured: the date is wrong, or the entry belongs to another job.

    How to fix: correct `at`, or move the entry to the job of that day.

    Example: `at = 2026-10-02T10:05:00` in a job with `received = 2026-10-19`.
    """
    first, last = _first_moment(job), _last_moment(job)
    for path, at in _entry_times(job):
        if not first <= at < last:
            side = f"before the board was received ({job.dates.received or 'it was only announced'})"
            if at >= last:
                side = f"after the board had gone ({job.dates.sent or job.dates.collected})"
            message = f"this {path[0]} is dated {at.date()}, {side}"
            yield Found((*path, "at"), str(path[0]), message, "correct at, or move the entry to its own job")


def _first_moment(job: Job) -> datetime:
    if job.dates.received:
        return datetime.combine(job.dates.received, time.min)
    return datetime.max if job.dates.announced else datetime.min


def _last_moment(job: Job) -> datetime:
    gone = job.dates.sent or job.dates.collected
    if gone is None or (job.fate and job.fate.what == "kept-for-parts"):
        return datetime.max
    return datetime.combine(gone, time.min) + timedelta(days=1)


def _entry_times(job: Job) -> Iterator[tuple[Place, datetime]]:
    return ((entry.path, entry.at) for sort in _ON_THE_BENCH for entry in sort.of(job) if entry.at)


_ON_THE_BENCH = tuple(sort for sort in ENTRIES if sort.here)


def _reaches_past_today(facts: JobSummary, bench: Bench) -> bool:
    return bench.today is not None and facts.last_done > bench.today.isoformat()


@live_rule("warning", _reaches_past_today)
def date_future(job: Job, bench: Bench) -> Iterator[Found]:
    """A date is in the future.

    What it finds: a day after today (or after `--on`): any of the job's dates but `promised`, `at` of every entry,
    waits, agreements, payments and credits; also when a meter was calibrated and when a part was counted.

    Why it matters: as of today it has not happened, so no list shows it.

    How to fix: correct the date. If every date looks wrong, check the clock of this machine, and `zone` in bench.toml.

    Example: `at = 2027-10-22T10:05:00`, typed in October 2026.
    """
    for place, day in _days(job):
        if bench.today and day > bench.today:
            yield _future(place, day)


@own_look("date-future")
def date_future_on_the_shelf(bench: Bench) -> Iterator[FoundIn]:
    """Look at calibrations and counts."""
    if bench.today is None:
        return
    for meter in bench.meters.values():
        if meter.calibrated and meter.calibrated > bench.today:
            yield FoundIn("meters.toml", _future((*meter.path, "calibrated"), meter.calibrated))
    for item in bench.stock.values():
        if item.counted_on and item.counted_on > bench.today:
            yield FoundIn("stock.toml", _future((*item.path, "counted_on"), item.counted_on))


def _future(place: Place, day: date) -> Found:
    return Found(place, str(place[-1]), f"{place[-1]} {day} is in the future", f"correct {place[-1]}")


def _days(job: Job) -> Iterator[tuple[Place, date]]:
    for key, day in job.dates._replace(promised=None)._asdict().items():
        if day:
            yield ("dates", key), day
    for sort in ENTRIES:
        for key in filter(None, (sort.day, sort.end)):
            for entry in sort.of(job):
                moment = sort.value(entry, key)
                if moment:
                    yield (*entry.path, key), moment.date() if isinstance(moment, datetime) else moment
    if job.warranty.void_on:
        yield ("warranty", "void_on"), job.warranty.void_on
