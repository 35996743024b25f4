"""Bills: slips, and amounts that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Dates, Job, Price
from jobkit.jobs.money import Money, MoneyError, total
from jobkit.lint.registry import Found, rule
from jobkit.lint.rules.currencies import named, sums
from jobkit.reckon.money.priced import CREDIT, NOTHING, basis, price_of_repair, priced, was_not_repaired
from jobkit.reckon.money.refunds import RefundError
from jobkit.reckon.money.terms import usual_day
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.reckon.money.bill import Bill

_SLIP = 10
"""A factor of ten between two prices of one thing is a lost decimal point. (Common practice, no source.)"""

_HOURS = 1000
"""No repair is worth so many hours of the bench's. (Common practice, no source.)"""

_ENDS = ("finished", "paid", "sent", "collected")


@rule("warning")
def price_absurd(job: Job, bench: Bench) -> Iterator[Found]:
    """Implausible price.

    What it finds: two prices of one repair, or what a part cost here and in stock.toml, that differ by a factor of ten
    or more; a ceiling below the quote; an amount above a thousand hours at the bench's rate; credits above the total of
    the bill.

    Why it matters: a lost decimal point is better found at the bench than by the client.

    How to fix: correct the amount; if it is intended, such as a price among friends, add a waiver with the reason.

    Example: `quoted = "160.00 EUR"` with `charged = "15.50 EUR"`.
    """
    if job.price:
        yield from _apart(job, job.price)
        yield from _credited(job, job.price)
    yield from _parts_apart(job, bench)
    yield from _beyond_all_hours(job, bench)


def _apart(job: Job, price: Price) -> Iterator[Found]:
    """Compare the ceiling and what was agreed with the quote, and what was charged with what was agreed."""
    quoted = price.quoted
    last = [one.amount for one in price.agreements if one.amount][-1:]
    if quoted and price.ceiling and _same(quoted, price.ceiling) and price.ceiling.amount < quoted.amount:
        message = f"the ceiling, {price.ceiling}, is below the quote, {quoted}"
        yield Found(("price", "ceiling"), "ceiling", message, "correct one of the two")
    elif quoted and price.ceiling and _far(quoted, price.ceiling):
        yield _slip(("price", "ceiling"), price.ceiling, f"quoted {quoted}")
    for index, agreement in enumerate(price.agreements):
        if quoted and agreement.amount and _far(quoted, agreement.amount):
            yield _slip(("price", "agreed", index, "amount"), agreement.amount, f"quoted {quoted}")
    asked = last[0] if last else quoted
    if (
        asked is None
        or price.charged is None
        or not _far(asked, price.charged)
        or was_not_repaired(facts_of(job))
    ):
        return
    # A charge above what was agreed is what price-over-agreed finds.
    if price.charged.amount < asked.amount or not last:
        yield _slip(("price", "charged"), price.charged, f"{'agreed' if last else 'quoted'} {asked}")


def _credited(job: Job, price: Price) -> Iterator[Found]:
    lines = priced(facts_of(job)) if price.credits else ()
    try:
        left = total((line.amount for line in lines), lines[0].each.currency) if lines else None
    except MoneyError:
        return
    if left and left.amount < 0 and any(line.kind != CREDIT for line in lines):
        message = f"the credits and discounts are {abs(left.amount):f} {left.currency} more than was billed"
        yield Found(("price", "credit"), "credit", message, "correct the credits, or what was charged")


def _parts_apart(job: Job, bench: Bench) -> Iterator[Found]:
    facts = facts_of(job)
    for used, row in zip(job.used, facts.used, strict=True):
        item = bench.stock.get(row.item) if row.from_stock else None
        cost = item.cost_on(row.day or usual_day(facts)) if item else None
        if cost and used.cost and _far(cost, used.cost):
            yield _slip((*used.path, "cost"), used.cost, f"{cost} in stock.toml", row.item)


def _beyond_all_hours(job: Job, bench: Bench) -> Iterator[Found]:
    facts = facts_of(job)
    rate = bench.settings.rate_on(usual_day(facts) or facts.last_done)
    if rate is None or not rate.amount:
        return
    most = _HOURS * rate.amount
    for one in sums(job):
        if one.money.amount > most and _same(rate, one.money):
            message = f"{one.money} is more than {_HOURS} hours at the bench's rate"
            yield Found(one.place, named(one.place), message, "correct the amount")


def _slip(place: Place, money: Money, against: str, about: str = "") -> Found:
    message = f"{money} against {against}: a factor of ten or more"
    return Found(place, about or named(place), message, "correct one of the two; check the decimal point")


@rule("warning")
def agreed_late(job: Job, _bench: Bench) -> Iterator[Found]:
    """A price was agreed to after it was charged.

    What it finds: a [[price.agreed]] dated after the board was finished, paid, sent or collected.

    Why it matters: an agreement counts if it is made before the work; after the charge it proves nothing. (This is not
    legal advice.)

    How to fix: correct `on`; if the client really agreed afterwards, add a waiver that says how.

    Example: `on = 2026-10-30` in a job with `finished = 2026-10-23`.
    """
    ended = _first_end(job.dates)
    for index, agreement in enumerate(job.price.agreements if job.price and ended else ()):
        if ended and agreement.on and agreement.on > ended[0]:
            day, name = ended
            message = f"agreed on {agreement.on}, after the job was {name} ({day})"
            yield Found(("price", "agreed", index, "on"), "on", message, f"correct on, or {name}")


def _first_end(dates: Dates) -> tuple[date, str] | None:
    """Tell on which day a job was charged or over first, and which date says so."""
    return min(((day, name) for name in _ENDS if (day := getattr(dates, name))), default=None)


@rule("warning")
def lines_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """The lines of a bill do not add up to what was charged.

    What it finds: [[price.line]]s that do not add up to `charged`.

    Why it matters: the bill shows the lines, and the week counts what was charged.

    How to fix: correct a line, or `charged`.

    Example: lines of 60.00 and 18.00 EUR with `charged = "84.00 EUR"`.
    """
    price = job.price
    if price is None or price.charged is None or not price.lines or job.is_broken("price"):
        return
    try:
        sum_ = price_of_repair(facts_of(job))
    except MoneyError:
        return
    if sum_ and _same(sum_, price.charged) and sum_ != price.charged:
        message = f"charged {price.charged}, but the sum of the lines is {sum_}"
        yield Found(("price", "charged"), "charged", message, "correct a line, or charged")


@rule("warning")
def payment_mismatch(job: Job, bench: Bench) -> Iterator[Found]:
    """`paid` contradicts the payments.

    What it finds: `paid` under [dates], though the payments less the refunds are less or more than the bill, tax
    included; payments that cover the bill, without `paid`; and refunds above what was paid.

    Why it matters: reminders depend on `paid`.

    How to fix: add the missing payment, or remove `paid` until the payment has come; pay back what is too much, and add
    it as [[price.refund]]; or add `paid`.

    Example: `paid = 2026-10-25` with one payment of 50.00 EUR on a bill of 192.20 EUR.
    """
    price = job.price
    if price is None or not (price.payments or price.refunds) or job.is_broken("price"):
        return
    facts = facts_of(job)
    if basis(facts) == NOTHING:
        return
    # A lint of a job without payments need not wait for it.
    from jobkit.reckon.money.bill import bill  # noqa: PLC0415

    try:
        made = bill(facts, bench)
    except RefundError as error:
        yield Found(("price", "refund"), "refund", error.why, error.mend)
    except MisuseError:
        return
    else:
        yield from _unlike_the_payments(job, made)


def _unlike_the_payments(job: Job, made: Bill) -> Iterator[Found]:
    place: Place = ("dates", "paid")
    gross, refunded = made.charged, f" and the refunds {made.refunded}" if made.refunds else ""
    left = made.paid.amount - made.refunded.amount - gross.amount
    said = f"the payments are {made.paid}{refunded}"
    if job.dates.paid and made.payments and left < 0:
        mend = "record the missing payment, or remove paid until the money is here"
        yield Found(place, "paid", f"marked as paid, but {said} and the bill is {gross}", mend)
    elif job.dates.paid and made.payments and left > 0:
        mend = "pay back what is too much and record it as [[price.refund]], or correct a payment"
        yield Found(place, "paid", f"marked as paid, but {said} and the bill is only {gross}", mend)
    elif not job.dates.paid and job.dates.finished and left >= 0:
        yield Found(
            place,
            "paid",
            f"{said} and cover the bill of {gross}, but paid is not set",
            "add paid under [dates]",
        )


def _same(one: Money, other: Money) -> bool:
    return one.currency == other.currency


def _far(one: Money, other: Money) -> bool:
    """Tell whether two amounts differ by a factor of ten or more; nothing is not a slip."""
    low, high = sorted((one.amount, other.amount))
    return _same(one, other) and low > Decimal(0) and high >= _SLIP * low
