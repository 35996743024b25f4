"""A bill on a page, so that every figure can be followed by hand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from jobkit.jobs.client import Client
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import ROUNDING, Money
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.data import Data, money, number
from jobkit.pages.words import hours, listed
from jobkit.reckon.bill import BREAKDOWN, Bill
from jobkit.reckon.priced import was_not_repaired
from jobkit.reckon.tax import AtRate, Billed

NO_ADVICE = "This is no tax or legal advice; the bench's own accountant and local rules decide."

_DATES = ("received", "declined", "finished", "sent", "collected")


class BillView(NamedTuple):
    """All that the page of a bill shows: whose bench, which job as of which day, the bill, and whom it goes to."""

    bench: str
    facts: Facts
    on: date
    bill: Bill
    client: Client | None = None


def bill_page(view: BillView) -> Answer:
    """Show a bill: its lines, the tax at each rate, what was paid and what is left, and how all of it was reckoned."""
    return Answer(list(_blocks(view)), _data(view))


def _blocks(view: BillView) -> Iterator[Block]:
    bill = view.bill
    yield Title(f"{_called(view)}: {view.facts.title}", 1)
    yield Pairs(_head(view))
    if bill.totals.lines:
        yield _lines(bill)
        yield _rates(bill)
    else:
        yield Line("There is nothing to bill yet.")
    if bill.payments:
        rows = [(one.day, one.amount, one.note) for one in bill.payments]
        yield Table(("paid on", "amount", "note"), rows, right=("amount",))
    yield Pairs(_left(view))
    yield from map(Line, notes(view))


def _called(view: BillView) -> str:
    if view.bill.basis == BREAKDOWN:
        return f"{view.facts.id} by the minute"
    return f"Bill {view.facts.id}" + ("" if _is_final(view.facts) else ", not final")


def _is_final(facts: Facts) -> bool:
    return bool(facts.finished or facts.sent or facts.collected or facts.declined)


def _head(view: BillView) -> list[tuple[str, str]]:
    facts, client = view.facts, view.client
    done = [f"{name} {day}" for name in _DATES if (day := getattr(facts, name))]
    return [
        ("bench", view.bench),
        ("to", ", ".join((client.name, *client.address)) if client else ""),
        ("tax number", (client and client.tax_number) or ""),
        ("client", facts.client),
        ("board", listed(facts.kind, facts.design, facts.serial and f"serial {facts.serial}")),
        ("dates", ", ".join(done)),
        ("as of", str(view.on)),
    ]


def _lines(bill: Bill) -> Table:
    """Show the lines; the tax of each only where it is rounded there, for else it cannot be followed line by line."""
    tax = bill.tax
    heads = ["what", "quantity", "each", tax.prices, f"{tax.name} rate"]
    rows = [[*_line(row, bill), _percent(row.line.percent)] for row in bill.totals.lines]
    if tax.rounded == "line":
        heads.append(tax.name)
        rows = [[*cells, str(row.tax)] for cells, row in zip(rows, bill.totals.lines, strict=True)]
    return Table(heads, rows, right=heads[1:])


def _line(row: Billed, bill: Bill) -> list[str]:
    amount = row.net if bill.tax.prices == "net" else row.gross
    return [row.line.what, _quantity(row.line.quantity), str(row.line.each), str(amount)]


def _rates(bill: Bill) -> Table:
    heads = (f"at {bill.tax.name} rate", "net", bill.tax.name, "gross")
    rows = [_rate(each) for each in bill.totals.rates]
    if len(rows) > 1:
        sums = bill.totals
        rows.append(("in all", str(sums.net), str(sums.tax), str(sums.gross)))
    return Table(heads, rows, right=heads[1:])


def _rate(each: AtRate) -> tuple[str, str, str, str]:
    return _percent(each.percent), str(each.net), str(each.tax), str(each.gross)


def _left(view: BillView) -> list[tuple[str, str]]:
    bill = view.bill
    gross, paid = str(bill.totals.gross), str(bill.paid) if bill.payments else ""
    if bill.owed is None:
        return [("comes to", gross), ("paid", paid)]
    to_pay, left = ("to pay", "still owed") if _is_final(view.facts) else ("will come to", "left then")
    return [(to_pay, gross), ("paid", paid), (left, _still(bill, bill.owed))]


def _still(bill: Bill, owed: Money) -> str:
    if bill.settled:
        return f"nothing, paid on {bill.settled}"
    if owed.amount < 0:
        return f"nothing; {abs(owed.amount):f} {owed.currency} is to be given back"
    return str(owed) if owed.amount else "nothing"


def notes(view: BillView) -> Iterator[str]:
    """Say how the figures came about, and what the bench should look at before the bill goes out."""
    bill, facts = view.bill, view.facts
    yield from filter(None, (bill.note, bill.tax.note))
    if bill.totals.lines:
        yield _reckoned(bill)
    yield from _agreed(bill, facts)
    if bill.basis == BREAKDOWN:
        yield from _by_the_minute(bill, facts)
    elif not _is_final(facts):
        yield "The job is not finished, so this is not final."
    yield from _payments(bill)
    yield NO_ADVICE


def _reckoned(bill: Bill) -> str:
    name = bill.tax.name
    if bill.tax.prices == "net":
        prices = f"Prices are net: {name} comes on top."
    else:
        prices = f"Prices are gross: {name} is in them, rate / (100 + rate) of each sum."
    where = "on each line" if bill.tax.rounded == "line" else "once for each rate, on the sum of its lines"
    return (
        f"{prices} A line is quantity times price; {name} is reckoned {where}. Both are rounded {ROUNDING}."
    )


def _agreed(bill: Bill, facts: Facts) -> Iterator[str]:
    if bill.asked is None or bill.most is None:
        return
    if was_not_repaired(facts):
        said = f"Named for a board that is not repaired: {bill.most}"
    elif bill.agreed is None:
        said = f"At most {bill.most} without asking again"
    else:
        most = "" if bill.most == bill.agreed[1] else f", at most {bill.most}"
        said = f"Agreed with the client: {bill.agreed[1]} on {bill.agreed[0]}{most}"
    stands = f"{bill.over} above that: ask the client before this goes out" if bill.over else "within that"
    what = "examination" if was_not_repaired(facts) else "repair"
    yield f"{said}. The {what} comes to {bill.asked} ({bill.tax.prices}), {stands}."


def _by_the_minute(bill: Bill, facts: Facts) -> Iterator[str]:
    if bill.minutes:
        yield f"Bench time: {', '.join(f'{did} {_spent(minutes)}' for did, minutes in bill.minutes)}."
    if bill.unpriced:
        yield f"No price is known of these parts, so they are not on it: {', '.join(bill.unpriced)}."
    if bill.instead_of:
        yield f"This is only a view: the bill asks {bill.instead_of} for the repair."
    else:
        yield "Nothing has been charged, agreed or quoted, so nothing is owed yet."
        if facts.comeback_of:
            yield f"The board came back after {facts.comeback_of}: see `jobkit warranty {facts.id}` before charging it."


def _payments(bill: Bill) -> Iterator[str]:
    gross = bill.totals.gross
    if bill.basis != BREAKDOWN and bill.settled and bill.payments and bill.paid != gross:
        yield f"dates.paid says that it is settled, though the payments come to {bill.paid} and the bill to {gross}."
    if bill.owed and not bill.settled and bill.payments and bill.owed.amount <= 0:
        yield "The payments cover it: write the day as paid under [dates], and the job counts as paid."
    for day in bill.late:
        yield f"The credit of {day} is dated after the bill was paid: see that it was given back."


def _quantity(quantity: Decimal | Fraction) -> str:
    if isinstance(quantity, Fraction):
        return _spent(Decimal((quantity * 60).numerator) / (quantity * 60).denominator)
    return f"{quantity.normalize():f}"


def _spent(minutes: Decimal) -> str:
    whole = minutes == minutes.to_integral_value()
    return hours(minutes) if whole else f"{minutes.normalize():f} min"


def _percent(percent: Decimal) -> str:
    return f"{percent.normalize():f} %"


def _data(view: BillView) -> Data:
    bill, sums = view.bill, view.bill.totals
    lines = zip(bill.kinds, sums.lines, strict=True)
    return {
        "job": view.facts.id,
        "on": str(view.on),
        "basis": bill.basis,
        "final": bill.basis != BREAKDOWN and _is_final(view.facts),
        "lines": [_line_data(kind, row) for kind, row in lines],
        "net": money(sums.net),
        "tax": money(sums.tax),
        "gross": money(sums.gross),
        "currency": bill.currency,
        "prices": bill.tax.prices,
        "rounded": bill.tax.rounded,
        "rates": [_rate_data(each) for each in sums.rates],
        "payments": [
            {"on": one.day, "amount": one.amount, "note": one.note or None} for one in bill.payments
        ],
        "paid": money(bill.paid),
        "settled_on": bill.settled or None,
        "owed": money(bill.owed),
        "agreed": {"on": bill.agreed[0], "amount": str(bill.agreed[1])} if bill.agreed else None,
        "most": money(bill.most),
        "over": money(bill.over),
        "notes": list(notes(view)),
    }


def _line_data(kind: str, row: Billed) -> Data:
    quantity = row.line.quantity
    exact = number(quantity) if isinstance(quantity, Decimal) else float(quantity)
    return {
        "what": row.line.what,
        "kind": kind,
        "quantity": exact,
        "each": str(row.line.each),
        "percent": number(row.line.percent),
        **_sums_data(row.net, row.tax, row.gross),
    }


def _rate_data(each: AtRate) -> Data:
    return {"percent": number(each.percent), **_sums_data(each.net, each.tax, each.gross)}


def _sums_data(*sums: Money) -> Data:
    return dict(zip(("net", "tax", "gross"), map(str, sums), strict=True))
