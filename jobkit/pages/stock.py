"""Parts on hand, what to order, and donors, on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from jobkit.jobs.money import Money
from jobkit.jobs.stock import Count, Item
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.data import Data, money, number
from jobkit.pages.words import counted, listed
from jobkit.reckon.donors import Donor, Taken
from jobkit.reckon.stock import LotOnHand, OnHand, Stock

_CAUTION = "Nobody has proved these parts good; a package off a donor counts as wet until it has been baked."


def stock_page(bench: str, stock: Stock, donors: Sequence[Donor]) -> Answer:
    """Show all items: counted, used since, on hand and worth; the lots; and what needs seeing to."""
    return Answer(list(_blocks(bench, stock)), _data(stock, stock.items, donors), _whole_table(stock.items))


def reorder_page(bench: str, stock: Stock, donors: Sequence[Donor]) -> Answer:
    """Show the items to order again."""
    short = [each for each in stock.items if each.short]
    blocks: list[Block] = [Title(f"{bench}: to order, {stock.on}", 1)]
    blocks.append(
        _reorder_table(short) if short else Line("Nothing has reached the level to order again at.")
    )
    return Answer(blocks, _data(stock, short, donors), _whole_table(short))


def donors_page(bench: str, stock: Stock, donors: Sequence[Donor]) -> Answer:
    """Show the boards kept for parts: what was taken off each and what should still be on it."""
    blocks = [Title(f"{bench}: donors, {stock.on}", 1), *(block for one in donors for block in _donor(one))]
    blocks.append(Line(_CAUTION if donors else "No board is kept for parts."))
    return Answer(blocks, _data(stock, stock.items, donors), _taken_table(donors))


def count_words(there: OnHand, count: Count) -> str:
    """Say what was counted, and how that stands to what the book said before."""
    said = f"{count.item}: {_count(count.counted)} counted on {count.on}"
    lots = ", ".join(f"{_count(counted)} in {name}" for name, counted in count.lots)
    said += f" ({lots})" if lots else ""
    if there.on_hand is None:
        return f"{said}, for the first time"
    more = count.counted - there.on_hand
    if not more:
        return f"{said}, as the book had it"
    return f"{said}, {_count(abs(more))} {'more' if more > 0 else 'fewer'} than the book had"


def _blocks(bench: str, stock: Stock) -> Iterator[Block]:
    yield Title(f"{bench}: stock, {stock.on}", 1)
    if not stock.items:
        yield Line("stock.toml names no item.")
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
        "" if _is_later(each, stock) else _count(item.counted),
        _count(each.used),
        _count(each.on_hand),
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
                _count(item.counted),
                _count(each.used),
                _count(each.on_hand),
                _bag(item, item.opened),
            )
        ]
    return [_lot_row(item, lot) for lot in each.lots]


def _lot_row(item: Item, lot: LotOnHand) -> tuple[str, ...]:
    counts = map(_count, (lot.lot.counted, lot.used, lot.on_hand))
    return (item.name, lot.lot.name, *counts, listed(_bag(item, lot.lot.opened), lot.lot.note))


def _bag(item: Item, opened: date | None) -> str:
    return listed(f"opened {opened}" if opened else "sealed", item.moisture and f"level {item.moisture}")


def _notes(stock: Stock) -> Iterator[str]:
    short = [each.item.name for each in stock.items if each.short]
    if short:
        yield f"To order again: {', '.join(short)}."
    if stock.worth:
        yield f"All of it is worth {' + '.join(map(str, stock.worth))} at cost."
    without = [each.item.name for each in stock.items if not each.item.cost and (each.on_hand or 0) > 0]
    if without:
        yield f"No cost is known of {', '.join(without)}."
    yield f"On hand is what was counted ({_days(stock)}) less what jobs took from stock on later days."
    below = [each.item.name for each in stock.items if each.on_hand is not None and each.on_hand < 0]
    if below:
        yield f"Fewer than none cannot be: count {', '.join(below)} again."
    later = sum(_is_later(each, stock) for each in stock.items)
    if later:
        yield (
            f"{counted(later, 'item was', 'items were')} counted only after {stock.on}, so what was on hand is not "
            "known; --rev reads an older stock.toml."
        )
    if stock.strangers:
        names = ", ".join(f"{name} ({_count(qty)})" for name, qty in stock.strangers)
        yield f"Taken from stock, but not in stock.toml: {names}."


def _is_later(each: OnHand, stock: Stock) -> bool:
    return bool(each.item.counted_on and each.item.counted_on > stock.on)


def _days(stock: Stock) -> str:
    days = sorted({each.item.counted_on for each in stock.items if each.item.counted_on})
    if not days:
        return "nothing yet"
    return f"on {days[0]}" if len(days) == 1 else f"from {days[0]} to {days[-1]}, as stock.toml says"


def _reorder_table(short: Sequence[OnHand]) -> Table:
    """Show what is short; where to order it only if any item says so."""
    heads = ["item", "on hand", "order at", "cost", "what"]
    rows = [
        [
            each.item.name,
            _count(each.on_hand),
            _count(each.item.reorder_at),
            _money(each.item.cost),
            each.item.what or "",
        ]
        for each in short
    ]
    if any(each.item.order_from or each.item.order_as for each in short):
        heads.append("order from")
        where = (
            listed(each.item.order_from, each.item.order_as and f"as {each.item.order_as}") for each in short
        )
        rows = [[*row, place] for row, place in zip(rows, where, strict=True)]
    return Table(heads, rows, right=("on hand", "order at", "cost"))


def _whole_table(items: Sequence[OnHand]) -> Table:
    """Make the table for programs: all there is to say of an item, money and currency in columns of their own."""
    heads = (
        "item", "what", "counted", "counted_on", "used", "on_hand", "reorder_at", "short", "cost", "currency",
        "order_from", "order_as", "place",
    )  # fmt: skip
    return Table(heads, [_whole_row(each) for each in items])


def _whole_row(each: OnHand) -> tuple[str, ...]:
    item, cost = each.item, each.item.cost
    return (
        item.name,
        item.what or "",
        _count(item.counted),
        str(item.counted_on or ""),
        _count(each.used),
        _count(each.on_hand),
        _count(item.reorder_at),
        "yes" if each.short else "no",
        f"{cost.amount:f}" if cost else "",
        cost.currency if cost else "",
        item.order_from or "",
        item.order_as or "",
        item.place or "",
    )


def _donor(donor: Donor) -> Iterator[Block]:
    facts = donor.facts
    yield Title(listed(facts.id, facts.design or facts.kind, facts.place))
    yield Pairs(
        [
            ("was at fault", listed(donor.faulty, facts.cause_fault)),
            ("still on it", ", ".join(donor.still_on) or "no package that the board file names"),
        ]
    )
    if donor.taken:
        yield Table(("taken", "part", "what", "went to"), [_taken_row(each) for each in donor.taken])
    else:
        yield Line("Nothing has been taken off it.")


def _taken_row(taken: Taken) -> tuple[str, ...]:
    went = f"{taken.job} as {taken.onto}" if taken.onto and taken.onto != taken.part else taken.job
    return taken.day, taken.part, taken.item, went


def _taken_table(donors: Sequence[Donor]) -> Table:
    heads = ("donor", "taken", "part", "item", "job", "as")
    rows = [
        (donor.facts.id, each.day, each.part, each.item, each.job, each.onto)
        for donor in donors
        for each in donor.taken
    ]
    return Table(heads, rows)


def _count(count: Decimal | None) -> str:
    return "" if count is None else f"{count.normalize():f}"


def _money(cost: Money | None) -> str:
    return str(cost) if cost else ""


def _data(stock: Stock, items: Sequence[OnHand], donors: Sequence[Donor]) -> Data:
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
        "used": number(each.used),
        "on_hand": _number(each.on_hand),
        "reorder_at": _number(item.reorder_at),
        "short": each.short,
        "cost": money(item.cost),
        "worth": [str(one) for one in each.worth],
        "moisture": item.moisture,
        "opened": str(item.opened) if item.opened else None,
        "order_from": item.order_from,
        "order_as": item.order_as,
        "place": item.place,
        "lots": [_lot_data(lot) for lot in each.lots],
    }


def _lot_data(lot: LotOnHand) -> Data:
    return {
        "lot": lot.lot.name,
        "counted": _number(lot.lot.counted),
        "used": number(lot.used),
        "on_hand": _number(lot.on_hand),
        "opened": str(lot.lot.opened) if lot.lot.opened else None,
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
