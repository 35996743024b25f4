"""A bill as data."""

from __future__ import annotations

from decimal import Decimal

from jobkit.jobs.money import Money, negated
from jobkit.pages.client.bill_words import NO_ADVICE, BillView, notes
from jobkit.pages.forms.data import Data, money, number
from jobkit.reckon.money.bill import BREAKDOWN
from jobkit.reckon.money.priced import CREDIT
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.tax import AtRate, Billed, opposite


def bill_data(view: BillView) -> Data:
    """Give all that the page of a bill shows, figures exact."""
    bill, sums = view.bill, view.bill.totals
    lines = zip(bill.kinds, sums.lines, strict=True)
    return {
        "job": view.facts.id,
        "on": str(view.on),
        "basis": bill.basis,
        "final": bill.basis != BREAKDOWN and view.is_final,
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
        "refunds": [{"on": one.day, "amount": one.amount, "note": one.note or None} for one in bill.refunds],
        "invoice": _invoice_data(view),
        "rounding": money(bill.rounding),
        "to_pay": money(bill.to_pay),
        "credit_notes": [_note_data(note) for note in bill.notes],
        "paid": money(bill.paid),
        "refunded": money(bill.refunded),
        "settled_on": bill.settled or None,
        "owed": money(bill.owed),
        "earned": money(bill.earned),
        "agreed": {"on": bill.agreed[0], "amount": str(bill.agreed[1])} if bill.agreed else None,
        "most": money(bill.most),
        "over": money(bill.over),
        "notes": list(notes(view)),
    }


def _invoice_data(view: BillView) -> Data | None:
    if not view.is_invoice:
        return None
    return {
        "number": view.facts.invoice_number,
        "on": view.facts.invoice_on,
        "supplied_on": view.supplied or None,
        "pay_until": str(view.pay_until) if view.pay_until else None,
    }


def _note_data(note: Sheet) -> Data:
    """Give a credit note, its sums without a minus as its paper has them."""
    sums = map(negated, (note.totals.net, note.totals.tax, note.totals.gross))
    return {
        "number": note.number or None,
        "on": note.day,
        **_sums_data(*sums),
        "rounding": money(negated(note.rounding)),
        "to_pay": money(negated(note.to_pay)),
    }


def credit_note_data(view: BillView, note: Sheet) -> Data:
    """Give all that the page of a credit note shows."""
    return {
        "job": view.facts.id,
        "invoice": view.facts.invoice_number,
        "lines": [_line_data(CREDIT, row) for row in opposite(note.totals).lines],
        **_note_data(note),
        "currency": note.rounding.currency,
        "notes": [NO_ADVICE],
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
