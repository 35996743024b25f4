"""The head of the page of a job: status, board, client, intake, dates, price."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from jobkit.jobs.entries import BillLine, Credit, Discount, Wait
from jobkit.jobs.job import Comeback, Fate, Job, Price
from jobkit.jobs.money import Money, negated
from jobkit.jobs.phrases import said
from jobkit.jobs.sorts import TABLES
from jobkit.pages.words import FOUND, hours, listed
from jobkit.reckon.progress.status import Status
from jobkit.reckon.progress.step import NextStep

Pair = tuple[str, str]

_TABLES = {sort.path[0]: sort for sort in TABLES}


def head_pairs(job: Job, status: Status, step: NextStep, owed: Money | None) -> list[Pair]:
    """Label what is known of the job as a whole; a label without a value means what the file does not say."""
    return [
        ("status", str(status)),
        ("next step", _next_words(step)),
        ("outcome", job.outcome or ""),
        ("public", "shown by `site --public`" if job.public else ""),
        *_board_pairs(job),
        *_intake_pairs(job),
        *_stay_pairs(job),
        *_money_pairs(job, owed),
        ("time", hours(sum((work.minutes for work in job.work if work.minutes), start=Decimal(0)))),
    ]


def _next_words(step: NextStep) -> str:
    minutes = f"{said(step.minutes)} min" if step.minutes else ""
    return listed(step.step, minutes, step.waits_for and f"waits for {step.waits_for}")


def _board_pairs(job: Job) -> Iterator[Pair]:
    board = job.board
    good = "known good" if board.known_good else ""
    apart = f"stored separately: {', '.join(board.kept_back)}" if board.kept_back else ""
    yield "board", listed(board.kind, board.design, board.serial and f"serial {board.serial}", good)
    yield "location", listed(board.place, apart)
    yield "firmware", _table_words(job, "firmware")


def _intake_pairs(job: Job) -> Iterator[Pair]:
    intake = job.intake
    yield "client", job.client or ""
    yield "complaint", intake.complaint or ""
    yield "setup", intake.setup or ""
    yield "condition", ", ".join(intake.condition)
    yield "earlier repair attempt", intake.prior_work or ""
    yield "came with", ", ".join(intake.came_with)
    declared = f"declared at {intake.declared}" if intake.declared else ""
    yield "photos", said(intake.photos)
    yield "from", listed(intake.country, declared)
    yield "parcel", _table_words(job, "parcel")


def _stay_pairs(job: Job) -> Iterator[Pair]:
    days = zip(job.dates._fields, job.dates, strict=True)
    yield "dates", ", ".join(f"{name} {day}" for name, day in days if day)
    yield "waiting history", "; ".join(map(_wait_words, job.waits))
    yield "comeback", _comeback_words(job.comeback) if job.comeback else ""
    cause = job.cause
    yield "cause", listed(cause and cause.part, cause and cause.fault, cause and cause.name)
    yield "fate", _fate_words(job.fate) if job.fate else ""


def _money_pairs(job: Job, owed: Money | None) -> Iterator[Pair]:
    price = job.price or Price()
    yield "proposal", price.proposal or ""
    yield "price", ", ".join(_price_words(price))
    yield "bill", "; ".join(map(_line_words, price.lines))
    yield "credit", "; ".join(map(_credit_words, price.credits))
    yield "discount", "; ".join(map(_discount_words, price.discounts))
    yield "invoice", _table_words(job, "invoice").removeprefix("number ")
    yield "paid back", "; ".join(_sum_words(one.amount, one.on, one.note) for one in price.refunds)
    yield "paid", "; ".join(_sum_words(one.amount, one.on, one.note) for one in price.payments)
    is_ours = owed is not None and owed.amount < 0
    yield "to give back", str(negated(owed)) if owed and is_ours else ""
    yield "owed, with tax", str(owed) if owed and owed.amount and not is_ours else ""
    yield "warranty terms", _table_words(job, "warranty")


def _table_words(job: Job, name: str) -> str:
    """Tell a table key by key, as it is written: "came 1.07, saved firmware-as-came.bin"."""
    sort = _TABLES[name]
    keys = {field: key for key, field in sort.names.items()}
    return "; ".join(
        listed(*(_key_words(keys.get(field, field), getattr(one, field)) for field in one._fields))
        for one in sort.of(job)
    )


def _key_words(key: str, value: Any) -> str:
    return f"{key.replace('_', ' ')} {said(value)}" if said(value) else ""


def _comeback_words(comeback: Comeback) -> str:
    found = FOUND.get(comeback.found or "", comeback.found)
    return listed(comeback.of and f"of {comeback.of}", found and f"found: {found}")


def _fate_words(fate: Fate) -> str:
    what = (fate.what or "").replace("-", " ")
    if fate.what == "returned":
        return what
    return listed(
        what, "the owner agreed" if fate.owner_agreed else "the owner's consent is not written down"
    )


def _wait_words(wait: Wait) -> str:
    what = f" ({wait.what})" if wait.what else ""
    return f"for {wait.reason}{what} since {wait.since}" + (f" until {wait.until}" if wait.until else "")


def _price_words(price: Price) -> Iterator[str]:
    if price.quoted:
        yield f"quoted {price.quoted}"
    if price.agreements and price.agreements[-1].amount:
        yield f"agreed {price.agreements[-1].amount}"
    if price.ceiling:
        yield f"at most {price.ceiling}"
    if price.if_not_repaired:
        yield f"{price.if_not_repaired} if not repaired"
    if price.charged:
        yield f"charged {price.charged}"
    if price.shipping:
        yield f"shipping {price.shipping}"
    if price.tax is not None or price.tax_note:
        yield listed("" if price.tax is None else f"tax {said(price.tax)} %", price.tax_note)


def _line_words(line: BillLine) -> str:
    count = "" if line.quantity == 1 else f"{line.quantity} × "
    tax = f"tax {said(line.tax)} %" if line.tax is not None else ""
    return listed(f"{count}{line.what or ''}", line.each and str(line.each), tax)


def _discount_words(discount: Discount) -> str:
    tax = f"tax {said(discount.tax)} %" if discount.tax is not None else ""
    return listed(_sum_words(discount.amount, None, discount.why), tax)


def _credit_words(credit: Credit) -> str:
    tax = f"tax {said(credit.tax)} %" if credit.tax is not None else ""
    return listed(_sum_words(credit.amount, credit.on, credit.why), tax, credit.number)


def _sum_words(amount: Money | None, day: date | None, what: str | None) -> str:
    when = f" on {day}" if day else ""
    return f"{amount or ''}{when}" + (f" ({what})" if what else "")
