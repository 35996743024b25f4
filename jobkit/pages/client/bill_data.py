"""A bill as data."""

from __future__ import annotations

from decimal import Decimal

from jobkit.jobs.money import Money
from jobkit.pages.client.bill_words import BillView, notes
from jobkit.pages.forms.data import Data, money, number
from jobkit.reckon.money.bill import BREAKDOWN
from jobkit.reckon.money.tax import AtRate, Billed


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
