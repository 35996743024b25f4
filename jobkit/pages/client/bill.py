"""A bill on a page, so that every figure can be followed by hand."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.money import Money, negated
from jobkit.jobs.settings import Tax
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.client.bill_data import bill_data
from jobkit.pages.client.bill_words import BillView, notes
from jobkit.pages.client.report_parts import client_line
from jobkit.pages.words import listed
from jobkit.reckon.money.bill import BREAKDOWN, Bill
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.tax import AtRate, Billed, Totals

_DATES = ("received", "declined", "finished", "sent", "collected")


def bill_page(view: BillView) -> Answer:
    """Show a bill: its lines, the tax at each rate, what was paid and what is left, and how that was calculated."""
    return Answer(list(_blocks(view)), bill_data(view))


def _blocks(view: BillView) -> Iterator[Block]:
    bill = view.bill
    yield Title(_called(view), 1)
    yield Pairs(_head(view))
    if bill.totals.lines:
        yield lines_table(bill.totals, bill.tax)
        yield rates_table(bill.totals, bill.tax)
    else:
        yield Line("There is nothing to bill yet.")
    if bill.payments:
        rows = [(one.day, one.amount, one.note) for one in bill.payments]
        yield Table(("paid on", "amount", "note"), rows, right=("amount",))
    if bill.refunds:
        rows = [(one.day, one.amount, one.note) for one in bill.refunds]
        yield Table(("paid back on", "amount", "note"), rows, right=("amount",))
    yield Pairs(_left(view))
    yield from map(Line, notes(view))


def _called(view: BillView) -> str:
    if view.bill.basis == BREAKDOWN:
        return f"{view.facts.id}: price calculated from time and parts"
    return f"Invoice {view.facts.invoice_number}" if view.is_invoice else f"Estimate {view.facts.id}"


def _head(view: BillView) -> list[tuple[str, str]]:
    facts = view.facts
    done = [f"{name} {day}" for name in _DATES if (day := getattr(facts, name))]
    return [
        *parties(view),
        ("job", facts.id if view.is_invoice else ""),
        ("board", listed(facts.kind, facts.design, facts.serial and f"serial {facts.serial}")),
        ("dates", ", ".join(done)),
        *(_terms(view) if view.is_invoice else [("date", str(view.on))]),
    ]


def parties(view: BillView) -> list[tuple[str, str]]:
    """Say from whom to whom a paper of money goes."""
    bench, client = view.bench, view.client
    return [
        ("from", ", ".join((bench.name, *bench.address))),
        ("our tax number", bench.tax_number or ""),
        ("to", client_line(client)),
        ("your tax number", (client and client.tax_number) or ""),
        ("client number", view.facts.client),
    ]


def _terms(view: BillView) -> list[tuple[str, str]]:
    """Say what only an invoice does: its day, the day of supply, until when and to which account to pay."""
    return [
        ("invoice date", view.facts.invoice_on),
        ("day of supply", view.supplied),
        ("to be paid by", str(view.pay_until or "")),
        ("account", view.bench.account or ""),
    ]


def lines_table(sums: Totals, tax: Tax) -> Table:
    """Show the lines; the tax of each only where it is rounded there, for else it cannot be followed line by line."""
    heads = ["what", "quantity", "each", tax.prices, f"{tax.name} rate"]
    rows = [[*_line(row, tax), _percent(row.line.percent)] for row in sums.lines]
    if tax.rounded == "line":
        heads.append(tax.name)
        rows = [[*cells, str(row.tax)] for cells, row in zip(rows, sums.lines, strict=True)]
    return Table(heads, rows, right=heads[1:])


def _line(row: Billed, tax: Tax) -> list[str]:
    amount = row.net if tax.prices == "net" else row.gross
    return [row.line.what, _quantity(row.line.quantity), str(row.line.each), str(amount)]


def rates_table(sums: Totals, tax: Tax) -> Table:
    """Show the tax at each rate, and in all."""
    heads = (f"at {tax.name} rate", "net", tax.name, "gross")
    rows = [_rate(each) for each in sums.rates]
    if len(rows) > 1:
        rows.append(("in all", str(sums.net), str(sums.tax), str(sums.gross)))
    return Table(heads, rows, right=heads[1:])


def _rate(each: AtRate) -> tuple[str, str, str, str]:
    return _percent(each.percent), str(each.net), str(each.tax), str(each.gross)


def _left(view: BillView) -> list[tuple[str, str]]:
    bill = view.bill
    is_total = bill.owed is None or view.is_final
    balance = [] if bill.owed is None else [_balance(bill, bill.owed, is_final=view.is_final)]
    return [
        ("total" if is_total else "expected total", str(bill.totals.gross)),
        ("rounding", str(bill.rounding) if bill.rounding.amount else ""),
        ("to pay", str(bill.to_pay) if bill.rounding.amount else ""),
        *((_credited(note), str(negated(note.to_pay))) for note in bill.notes),
        ("paid", str(bill.paid) if bill.payments else ""),
        ("paid back", str(bill.refunded) if bill.refunds else ""),
        *balance,
    ]


def _credited(note: Sheet) -> str:
    return f"credit note {note.number or 'to come'} of {note.day}"


def _balance(bill: Bill, owed: Money, *, is_final: bool) -> tuple[str, str]:
    if owed.amount < 0:
        return ("to give back" if is_final else "paid above it"), f"{abs(owed.amount):f} {owed.currency}"
    if bill.settled:
        return "balance due", f"nothing, paid on {bill.settled}"
    return "balance due", str(owed) if owed.amount else "nothing"


def _quantity(quantity: Decimal | Fraction) -> str:
    """Write how many, and bench time in hours; the note below has its minutes."""
    if isinstance(quantity, Fraction):
        return f"{decimal_hours(quantity):f} h"
    return f"{quantity.normalize():f}"


def decimal_hours(hours: Fraction) -> Decimal:
    """Round hours to the hundredth, halves up.

    >>> decimal_hours(Fraction(316, 60))
    Decimal('5.27')
    """
    return Decimal(int(hours * 100 + Fraction(1, 2))).scaleb(-2)


def _percent(percent: Decimal) -> str:
    return f"{percent.normalize():f} %"
