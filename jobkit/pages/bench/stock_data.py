"""Parts on hand as data, and as a table for programs."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from jobkit.pages.blocks import Table
from jobkit.pages.forms.data import Data, money, number
from jobkit.reckon.stock.donors import Donor
from jobkit.reckon.stock.on_hand import LotOnHand, OnHand, Stock


def stock_table(items: Sequence[OnHand]) -> Table:
    """Make the table for programs: all there is to say of an item, money and currency in columns of their own."""
    heads = (
        "item", "what", "counted", "counted_on", "used", "on_hand", "reorder_at", "short", "cost", "currency",
        "order_from", "order_as", "place", "received", "reorder_to", "to_order",
    )  # fmt: skip
    return Table(heads, [_whole_row(each) for each in items])


def _whole_row(each: OnHand) -> tuple[str, ...]:
    item, cost = each.item, each.cost
    return (
        item.name,
        item.what or "",
        count_text(item.counted),
        str(item.counted_on or ""),
        count_text(each.used),
        count_text(each.on_hand),
        count_text(item.reorder_at),
        "yes" if each.short else "no",
        f"{cost.amount:f}" if cost else "",
        cost.currency if cost else "",
        item.order_from or "",
        item.order_as or "",
        item.place or "",
        count_text(each.received),
        count_text(item.reorder_to),
        "" if each.to_order is None else str(each.to_order),
    )


def stock_data(stock: Stock, items: Sequence[OnHand], donors: Sequence[Donor]) -> Data:
    """Give some of the items with all there is to say of them, and the donors."""
    return {
        "on": str(stock.on),
        "items": [_item_data(each) for each in items],
        "worth": [str(each) for each in stock.worth],
        "not_in_stock": [{"item": name, "used": number(qty)} for name, qty in stock.strangers],
        "donors": [_donor_data(each) for each in donors],
    }


def _item_data(each: OnHand) -> Data:
    item = each.item
    return {
        "item": item.name,
        "what": item.what,
        "counted": _number(item.counted),
        "counted_on": str(item.counted_on) if item.counted_on else None,
        "received": number(each.received),
        "used": number(each.used),
        "on_hand": _number(each.on_hand),
        "reorder_at": _number(item.reorder_at),
        "reorder_to": _number(item.reorder_to),
        "to_order": each.to_order,
        "short": each.short,
        "cost": money(each.cost),
        "worth": [str(one) for one in each.worth],
        "moisture": item.moisture,
        "opened": str(item.opened) if item.opened else None,
        "baked": str(item.baked) if item.baked else None,
        "order_from": item.order_from,
        "order_as": item.order_as,
        "place": item.place,
        "lots": [_lot_data(lot) for lot in each.lots],
        "without_lot": number(each.without_lot),
    }


def _lot_data(lot: LotOnHand) -> Data:
    return {
        "lot": lot.lot.name,
        "counted": _number(lot.lot.counted),
        "received": number(lot.received),
        "used": number(lot.used),
        "on_hand": _number(lot.on_hand),
        "opened": str(lot.lot.opened) if lot.lot.opened else None,
        "baked": str(lot.lot.baked) if lot.lot.baked else None,
        "note": lot.lot.note,
    }


def _donor_data(donor: Donor) -> Data:
    return {
        "job": donor.facts.id,
        "design": donor.facts.design or None,
        "place": donor.facts.place or None,
        "faulty": donor.faulty or None,
        "taken": [each._asdict() for each in donor.taken],
        "still_on": list(donor.still_on),
    }


def _number(count: Decimal | None) -> int | float | None:
    return None if count is None else number(count)


def count_text(count: Decimal | None) -> str:
    """Write a count, nothing where there is none."""
    return "" if count is None else f"{count.normalize():f}"
