"""What to order, supplier by supplier, as a list to paste into an order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.money import times
from jobkit.pages.bench.stock_data import count_text, stock_data, stock_table
from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.reckon.stock.donors import Donor
from jobkit.reckon.stock.on_hand import OnHand, Stock, summed


def reorder_page(bench: str, stock: Stock, donors: Sequence[Donor]) -> Answer:
    """Show the items at or below their reorder level, with how many of each to order."""
    short = [each for each in stock.items if each.short]
    return Answer(list(_blocks(bench, stock, short)), stock_data(stock, short, donors), stock_table(short))


def _blocks(bench: str, stock: Stock, short: Sequence[OnHand]) -> Iterator[Block]:
    yield Title(f"{bench}: to order, {stock.on}", 1)
    if not short:
        yield Line("Nothing is at its reorder level.")
    suppliers = list(dict.fromkeys(each.item.order_from or "" for each in short))
    for supplier in sorted(suppliers, key=lambda name: (not name, name)):
        items = [each for each in short if (each.item.order_from or "") == supplier]
        if suppliers != [""]:
            yield Title(supplier or "No supplier entered")
        yield _order(items)
        yield from map(Line, _sums(items))
    without = [each.item.name for each in short if each.to_order is None]
    if without:
        yield Line(f"No reorder_to in stock.toml, so no quantity: {', '.join(without)}.")


def _order(items: Sequence[OnHand]) -> Table:
    heads = ("order", "number", "what", "item", "on hand", "reorder at", "cost")
    return filled(
        Table(heads, [_row(each) for each in items], right=("order", "on hand", "reorder at", "cost"))
    )


def _row(each: OnHand) -> tuple[str, ...]:
    item = each.item
    return (
        "" if each.to_order is None else str(each.to_order),
        item.order_as or "",
        item.what or "",
        item.name,
        count_text(each.on_hand),
        count_text(item.reorder_at),
        str(each.cost) if each.cost else "",
    )


def _sums(items: Sequence[OnHand]) -> Iterator[str]:
    """Say what an order comes to at the last cost, where every quantity and cost is known."""
    known = [(each.cost, each.to_order) for each in items if each.cost and each.to_order]
    if known and len(known) == len(items):
        sums = summed(times(cost, Decimal(count)) for cost, count in known)
        yield f"At the last cost: {' + '.join(map(str, sums))}."
