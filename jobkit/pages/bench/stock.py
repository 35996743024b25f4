"""Parts on hand on a page, and what is said of a count and a delivery."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.stock import Count, Item, Lot, Receipt
from jobkit.pages.bench.stock_data import count_text, stock_data, stock_table
from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.words import counted, listed
from jobkit.reckon.stock.donors import Donor
from jobkit.reckon.stock.on_hand import LotOnHand, OnHand, Stock


def stock_page(bench: str, stock: Stock, donors: Sequence[Donor]) -> Answer:
    """Show all items: counted, used since, on hand and worth; the lots; and what needs attention."""
    return Answer(
        list(_blocks(bench, stock)), stock_data(stock, stock.items, donors), stock_table(stock.items)
    )


def received_words(item: str, receipt: Receipt, on_hand: Decimal | None) -> str:
    """Say what came in, and how many there are now."""
    cost = f" at {receipt.cost} each" if receipt.cost else ""
    lot = f" into {receipt.lot}" if receipt.lot else ""
    left = (
        f"{count_text(on_hand)} on hand"
        if on_hand is not None
        else "never counted, so what is on hand is not known"
    )
    return f"{item}: {count_text(receipt.qty)} received on {receipt.day}{lot}{cost}, {left}"


def count_words(there: OnHand, count: Count) -> str:
    """Say what was counted, and how that compares with what the book said before."""
    said = f"{count.item}: {count_text(count.counted)} counted on {count.on}"
    lots = ", ".join(f"{count_text(counted)} in {name}" for name, counted in count.lots)
    said += f" ({lots})" if lots else ""
    if there.on_hand is None:
        return f"{said}, for the first time"
    more = count.counted - there.on_hand
    if not more:
        return f"{said}, as expected"
    return f"{said}, {count_text(abs(more))} {'more' if more > 0 else 'fewer'} than expected"


def _blocks(bench: str, stock: Stock) -> Iterator[Block]:
    yield Title(f"{bench}: stock, {stock.on}", 1)
    if not stock.items:
        yield Line("stock.toml has no items.")
        return
    heads = ("item", "counted", "used", "on hand", "worth", "what")
    rows = [_row(each, stock) for each in stock.items]
    yield Table(heads, rows, right=("counted", "used", "on hand", "worth"))
    lots = [row for each in stock.items for row in _lot_rows(each)]
    if lots:
        yield Title("Lots and open bags")
        heads = ("item", "lot", "counted", "used", "on hand", "bag")
        yield Table(heads, lots, right=("counted", "used", "on hand"))
    yield from map(Line, _notes(stock))


def _row(each: OnHand, stock: Stock) -> tuple[str, ...]:
    item = each.item
    return (
        item.name,
        "" if _is_later(each, stock) else count_text(item.counted),
        count_text(each.used),
        count_text(each.on_hand),
        " + ".join(map(str, each.worth)),
        item.what or "",
    )


def _lot_rows(each: OnHand) -> list[tuple[str, ...]]:
    """Show each lot of an item; one without lots only if its bag is open."""
    item = each.item
    if not each.lots and item.opened:
        return [
            (
                item.name,
                "",
                count_text(item.counted),
                count_text(each.used),
                count_text(each.on_hand),
                _bag(item, item),
            )
        ]
    rows = [_lot_row(item, lot) for lot in each.lots]
    if each.without_lot:
        rows.append((item.name, "none named", "", count_text(each.without_lot), "", ""))
    return rows


def _lot_row(item: Item, lot: LotOnHand) -> tuple[str, ...]:
    counts = map(count_text, (lot.lot.counted, lot.used, lot.on_hand))
    return (item.name, lot.lot.name, *counts, listed(_bag(item, lot.lot), lot.lot.note))


def _bag(item: Item, bag: Item | Lot) -> str:
    opened = f"opened {bag.opened}" if bag.opened else "sealed"
    baked = f"baked {bag.baked}" if bag.baked else ""
    return listed(opened, baked, item.moisture and f"level {item.moisture}")


def _notes(stock: Stock) -> Iterator[str]:
    short = [each.item.name for each in stock.items if each.short]
    if short:
        yield f"To reorder: {', '.join(short)}."
    if stock.worth:
        yield f"All of it is worth {' + '.join(map(str, stock.worth))} at cost."
    without = [each.item.name for each in stock.items if not each.cost and (each.on_hand or 0) > 0]
    if without:
        yield f"No cost is entered for {', '.join(without)}."
    received = [f"{count_text(each.received)} of {each.item.name}" for each in stock.items if each.received]
    if received:
        yield f"Received since the count: {', '.join(received)}."
    came = " plus what was received" if received else ""
    yield f"On hand is what was counted ({_days(stock)}){came} minus what jobs took from stock on later days."
    yield from filter(None, map(_lots_add_up, stock.items))
    below = [each.item.name for each in stock.items if each.on_hand is not None and each.on_hand < 0]
    if below:
        yield f"Below zero on hand: count {', '.join(below)} again."
    later = sum(_is_later(each, stock) for each in stock.items)
    if later:
        yield (
            f"{counted(later, 'item was', 'items were')} counted after {stock.on}, so the number on hand is not "
            "known for that day; --rev reads an older stock.toml."
        )
    if stock.strangers:
        names = ", ".join(f"{name} ({count_text(qty)})" for name, qty in stock.strangers)
        yield f"Taken from stock, but not in stock.toml: {names}."


def _lots_add_up(each: OnHand) -> str:
    """Say how the lots of an item and what is on hand differ; "" where they add up."""
    if not each.lots or each.on_hand is None or not (each.without_lot or each.outside_lots):
        return ""
    in_lots = sum((one.on_hand for one in each.lots if one.on_hand is not None), Decimal(0))
    outside = each.outside_lots
    words = [f"{count_text(in_lots)} in lots"]
    words += [f"plus {count_text(outside)} outside them"] if outside > 0 else []
    words += [f"minus {count_text(-outside)} that the count of the item lacks"] if outside < 0 else []
    words += [f"minus {count_text(each.without_lot)} taken without a lot"] if each.without_lot else []
    return f"{each.item.name}: {', '.join(words)}; that leaves {count_text(each.on_hand)} on hand."


def _is_later(each: OnHand, stock: Stock) -> bool:
    return bool(each.item.counted_on and each.item.counted_on > stock.on)


def _days(stock: Stock) -> str:
    days = sorted({each.item.counted_on for each in stock.items if each.item.counted_on})
    if not days:
        return "nothing yet"
    return f"on {days[0]}" if len(days) == 1 else f"from {days[0]} to {days[-1]}, as stock.toml says"
