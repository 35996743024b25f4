"""Boil a job down to its facts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from functools import lru_cache
from operator import attrgetter

from jobkit.jobs.attachments import attachments
from jobkit.jobs.entries import BillLine, Credit, Discount, Payment, Reading, Refund, Trial, Used, Wait, Work
from jobkit.jobs.facts import (
    Charge,
    Credited,
    Day,
    Discounted,
    Facts,
    Paid,
    ProofRow,
    TrialRow,
    UsedRow,
    WaitRow,
    WorkRow,
)
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Cause, Comeback, Dates, Fate, Job, Price
from jobkit.jobs.manner import Manner, proofs_by_manner
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.sorts import ENTRIES

BINDING = ("price", "invoice", "work", "used", "warranty", "dates", "comeback")
"""The tables that a bill or a warranty depends on."""


@memoise_last
def facts_of(job: Job) -> Facts:
    """Boil a job down to what roll-ups need: one line a field, however many there are."""
    board, dates, price = job.board, job.dates, job.price or Price()
    last_done = _last_done(job)
    comeback, cause, fate = job.comeback or Comeback(), job.cause or Cause(), job.fate or Fate()
    return Facts(
        id=job.id,
        path=job.path,
        title=job.title or "",
        client=job.client or "",
        kind=board.kind or "",
        design=board.design or "",
        serial=board.serial or "",
        known_good=board.known_good,
        outcome=job.outcome or "",
        announced=day_of(dates.announced),
        received=day_of(dates.received),
        promised=day_of(dates.promised),
        quoted=day_of(dates.quoted),
        agreed=day_of(dates.agreed),
        declined=day_of(dates.declined),
        started=day_of(dates.started),
        finished=day_of(dates.finished),
        paid=day_of(dates.paid),
        sent=day_of(dates.sent),
        collected=day_of(dates.collected),
        comeback_of=comeback.of or "",
        comeback_found=comeback.found or "",
        cause_part=cause.part or "",
        cause_fault=cause.fault or "",
        cause_name=cause.name or "",
        fate=fate.what or "",
        price_quoted=_text(price.quoted),
        price_ceiling=_text(price.ceiling),
        price_if_not=_text(price.if_not_repaired),
        price_charged=_text(price.charged),
        price_agreed=tuple((day_of(one.on), _text(one.amount)) for one in price.agreements),
        warranty_duration=_text(job.warranty.duration),
        warranty_from=job.warranty.counted_from or "",
        warranty_scope=job.warranty.scope or "",
        warranty_void=job.warranty.void or "",
        warranty_void_on=day_of(job.warranty.void_on),
        waits=tuple(map(_waited, job.waits)),
        work=tuple(map(_done, job.work)),
        used=tuple(map(_took, job.used)),
        trials=tuple(map(_ran, job.trials)),
        proof=tuple(_proved(how, job.readings[row]) for how, row in proofs_by_manner(job.readings).items()),
        last_day=max(last_done, day_of(dates.promised)),
        last_done=last_done,
        attachments=tuple(name for _, name in attachments(job)),
        waives=tuple((one.rule or "", one.about or "") if one.why else ("", "") for one in job.waivers),
        place=board.place or "",
        price_shipping=_text(price.shipping),
        price_tax=_text(price.tax),
        price_tax_note=price.tax_note or "",
        price_lines=tuple(map(_charge, price.lines)),
        payments=tuple(map(_paid, price.payments)),
        credits=tuple(map(_credited, price.credits)),
        discounts=tuple(map(_discounted, price.discounts)),
        refunds=tuple(map(_paid, price.refunds)),
        invoice_number=(job.invoice and job.invoice.number) or "",
        invoice_on=day_of(job.invoice and job.invoice.on),
        owner_agreed=fate.owner_agreed,
        missing=tuple(sorted(job.intake.missing)) if job.intake.condition else (),
        unreadable=tuple(table for table in BINDING if job.is_broken(table)) if job.broken else (),
    )


def day_of(moment: date | datetime | None) -> Day:
    """Write the day of a moment as ISO 8601 text, "" for none."""
    if moment is None:
        return ""
    return _written(moment.date() if isinstance(moment, datetime) else moment)


@lru_cache(10_000)  # much is done in a day, and to write one takes longer than to look it up
def _written(day: date) -> Day:
    return day.isoformat()


def _waited(wait: Wait) -> WaitRow:
    return WaitRow(
        reason=wait.reason or "", since=day_of(wait.since), until=day_of(wait.until), what=wait.what or ""
    )


def _done(work: Work) -> WorkRow:
    return WorkRow(
        day=day_of(work.at),
        minutes=float(work.minutes or 0),
        did=work.did or "",
        part=work.part or "",
        came=work.came or "",
        time=work.at.time().isoformat() if work.at else "",
        alloy=work.alloy or "",
        heat=work.heat or "",
        row=_row(work.path),
    )


def _took(used: Used) -> UsedRow:
    return UsedRow(
        day=day_of(used.at),
        item=used.item or "",
        qty=str(used.qty),
        source=used.source or "",
        part=used.part or "",
        cost=_text(used.cost),
        price=_text(used.price),
        tax=_text(used.tax),
        lot=used.lot or "",
        donor_part=used.donor_part or "",
    )


def _charge(line: BillLine) -> Charge:
    return Charge(
        what=line.what or "", quantity=str(line.quantity), each=_text(line.each), tax=_text(line.tax)
    )


def _discounted(one: Discount) -> Discounted:
    return Discounted(amount=_text(one.amount), why=one.why or "", tax=_text(one.tax))


def _paid(payment: Payment | Refund) -> Paid:
    return Paid(day=day_of(payment.on), amount=_text(payment.amount), note=payment.note or "")


def _credited(credit: Credit) -> Credited:
    return Credited(
        day=day_of(credit.on),
        amount=_text(credit.amount),
        why=credit.why or "",
        tax=_text(credit.tax),
        number=credit.number or "",
    )


def _ran(trial: Trial) -> TrialRow:
    return TrialRow(
        day=day_of(trial.at),
        run=trial.run or "",
        result=trial.result or "",
        minutes=float(trial.minutes or 0),
        log=trial.log or "",
        ambient=_text(trial.ambient and trial.ambient.text),
    )


def _proved(how: Manner, reading: Reading) -> ProofRow:
    shown, limit = reading.shown, reading.limit
    return ProofRow(
        day_of(reading.at),
        *how,
        shown.text if shown else "",
        limit.text if limit else "",
        reading.meter or "",
        reading.range.text if reading.range else "",
        reading.four_wire,
        reading.settled,
        _row(reading.path),
    )


def _row(path: Place) -> int:
    """Give the place of an entry among those of its sort in the file, -1 where it has none."""
    return path[1] if len(path) > 1 and isinstance(path[1], int) else -1


def _text(value: object) -> str:
    return "" if value is None else str(value)


_entries_with_moments = attrgetter(*(sort.field for sort in ENTRIES if sort.day == "at"))
_days_known = attrgetter(*(name for name in Dates._fields if name != "promised"))
_DAYS = tuple((sort, key) for sort in ENTRIES for key in (sort.day, sort.end) if key and key != "at")


def _last_done(job: Job) -> Day:
    """Tell the latest day named anywhere but the promised one, which alone may lie ahead."""
    moments = [entry.at for entries in _entries_with_moments(job) for entry in entries if entry.at]
    return max(day_of(max(moments, default=None)), day_of(max(_days(job), default=None)))


def _days(job: Job) -> Iterator[date]:
    yield from filter(None, _days_known(job.dates))
    if job.warranty.void_on:
        yield job.warranty.void_on
    if job.invoice and job.invoice.on:
        yield job.invoice.on
    for sort, key in _DAYS:
        yield from (day for entry in sort.of(job) if (day := sort.value(entry, key)))
