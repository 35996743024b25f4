"""A delivery as it was typed: how many of an item came, at which cost, into which lot."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from jobkit.jobs.money import Money, MoneyError, parse_unit_price
from jobkit.jobs.stock import Item, Receipt
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.stock.count import parse_count
from jobkit.reckon.stock.on_hand import OnHand
from jobkit.units.errors import MisuseError


class ReceiptError(MisuseError):
    """A delivery that cannot be."""


class Typed(NamedTuple):
    """What was typed of a delivery, besides the item."""

    number: str
    cost: str | None = None
    lot: str | None = None
    note: str | None = None


def receipt_typed(there: OnHand, typed: Typed, at: datetime, by: str, currency: str | None) -> Receipt:
    """Read a delivery; `cost` may do without the currency, which is the bench's then.

    Raises ReceiptError where nothing came, where the item was counted on that day or later, and where the item is kept
    in lots and none is named; MoneyError for a cost that cannot be read.
    """
    item = there.item
    qty = parse_count(typed.number)
    if not qty:
        raise ReceiptError("none came", "write how many, such as 20")
    _check_day(there, at, qty)
    if item.lots and typed.lot is None:
        known = ", ".join(lot.name for lot in item.lots)
        message = f"{item.name} is kept in the lots {known}"
        raise ReceiptError(message, "name one with --lot, or a new one")
    return Receipt((), at, by, qty, _cost(typed.cost, item, currency), typed.lot, typed.note)


def _check_day(there: OnHand, at: datetime, qty: Decimal) -> None:
    counted_on = there.item.counted_on
    if counted_on and at.date() <= counted_on:
        name, known = there.item.name, there.on_hand
        again = (
            "count it again"
            if known is None or there.lots
            else f"`jobkit stock count {name} {known + qty:f}`"
        )
        message = f"{name} was counted on {counted_on}, and what came until that day is in the count"
        raise ReceiptError(message, f"if it was not counted along: {again}")


def _cost(text: str | None, item: Item, currency: str | None) -> Money | None:
    if text is None:
        return None
    known = next((entry.amount.currency for entry in item.cost if entry.amount), None) or currency
    cost = parse_unit_price(text if " " in text or known is None else f"{text} {known}")
    if known and cost.currency != known:
        raise MoneyError(
            f"{cost} is in {cost.currency}, and {item.name} costs {known}", f"write it in {known}"
        )
    return cost
