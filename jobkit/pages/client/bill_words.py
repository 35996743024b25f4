"""What a bill says beside its figures: how they came about, and what to look at before it goes out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.client import Client
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import ROUNDING
from jobkit.jobs.settings import Settings
from jobkit.pages.words import hours
from jobkit.reckon.money.bill import BREAKDOWN, Bill
from jobkit.reckon.money.priced import QUOTED, was_not_repaired

NO_ADVICE = "This is not tax or legal advice; local rules apply."


class BillView(NamedTuple):
    """All that the page of a bill shows: whose bench, which job as of which day, the bill, and whom it goes to.

    Of an invoice also the day of supply, and the day until which it is to be paid.
    """

    bench: Settings
    facts: Facts
    on: date
    bill: Bill
    client: Client | None = None
    supplied: str = ""
    pay_until: date | None = None

    @property
    def is_invoice(self) -> bool:
        """Tell whether an invoice is issued; until then the bill is an estimate."""
        return bool(self.facts.invoice_number) and self.bill.basis != BREAKDOWN

    @property
    def is_final(self) -> bool:
        """Tell whether the job is over and the price is more than a quote, so that the bill will not change."""
        facts = self.facts
        over = facts.finished or facts.sent or facts.collected or facts.declined
        return bool(over) and self.bill.basis != QUOTED


def notes(view: BillView) -> Iterator[str]:
    """Say how the figures came about, and what the bench should look at before the bill goes out."""
    bill, facts = view.bill, view.facts
    yield from filter(None, (bill.note, bill.tax.note))
    if bill.totals.lines:
        yield _calculated(bill)
    yield from _agreed(bill, facts)
    if bill.basis == BREAKDOWN:
        yield from _by_the_minute(bill, facts)
    elif not view.is_final:
        yield _not_final(bill, facts)
    yield from _payments(view)
    yield NO_ADVICE


def _calculated(bill: Bill) -> str:
    """Say whether tax is in the prices, and to the bench how it is rounded."""
    name = bill.tax.name
    is_net = bill.tax.prices == "net"
    prices = f"Prices are net: {name} comes on top." if is_net else f"Prices are gross: {name} is in them."
    if bill.basis != BREAKDOWN:
        return prices
    where = "on each line" if bill.tax.rounded == "line" else "once for each rate, on the sum of its lines"
    return f"{prices} {name} is calculated {where}. Amounts are rounded {ROUNDING}."


def _not_final(bill: Bill, facts: Facts) -> str:
    if bill.basis == QUOTED and not facts.agreed:
        return "This is our quote. It is not final until you agree to it."
    return "The job is not finished, so this is not final."


def _agreed(bill: Bill, facts: Facts) -> Iterator[str]:
    if bill.asked is None or bill.most is None:
        return
    if was_not_repaired(facts):
        said = f"Price for a board that is not repaired: {bill.most}"
    elif bill.agreed is None:
        said = f"At most {bill.most} without asking you again"
    else:
        most = "" if bill.most == bill.agreed[1] else f", at most {bill.most}"
        said = f"You agreed on {bill.agreed[0]} to {bill.agreed[1]}{most}"
    what = "examination" if was_not_repaired(facts) else "repair"
    beyond = f" The {what} costs {bill.asked}, {bill.over} more than that." if bill.over else ""
    yield f"{said} ({bill.tax.prices}).{beyond}"


def _by_the_minute(bill: Bill, facts: Facts) -> Iterator[str]:
    if bill.minutes:
        whole = spent(sum((minutes for _, minutes in bill.minutes), Decimal(0)))
        each = ", ".join(f"{did} {spent(minutes)}" for did, minutes in bill.minutes)
        yield f"Bench time is charged to the minute, {whole}: {each}."
    if bill.unpriced:
        yield f"These parts have no price, so they are not on the bill: {', '.join(bill.unpriced)}."
    if bill.instead_of:
        yield f"This is only a view: the bill charges {bill.instead_of} for the repair."
    else:
        yield "Nothing has been charged, agreed or quoted, so nothing is owed yet."
        if facts.comeback_of:
            yield f"The board came back after {facts.comeback_of}: see `jobkit warranty {facts.id}` before charging it."


def _payments(view: BillView) -> Iterator[str]:
    bill, gross = view.bill, view.bill.charged
    kept = bill.paid.amount - bill.refunded.amount
    if bill.basis != BREAKDOWN and bill.settled and bill.payments and kept < gross.amount:
        yield f"Marked as paid on {bill.settled}, but the payments are {bill.paid} and the bill is {gross}."
    if bill.owed and bill.owed.amount < 0 and view.is_final:
        yield f"{abs(bill.owed.amount):f} {bill.currency} was paid above the bill and is to be given back."


def spent(minutes: Decimal) -> str:
    """Say a stretch of bench time to the part of a minute, so that it can be calculated with."""
    whole = minutes == minutes.to_integral_value()
    return hours(minutes) if whole else f"{minutes.normalize():f} min"
