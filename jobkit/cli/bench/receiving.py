"""Goods received: a delivery is added to an item of stock.toml."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time
from pathlib import Path

from jobkit.book.read.load import open_book
from jobkit.book.write.receive import with_receipt
from jobkit.book.write.session import SessionFiles
from jobkit.cli.bench.noting import hand_of, pen_for
from jobkit.cli.bench.writing import check_bench
from jobkit.cli.call.clock import now, read_day
from jobkit.cli.call.rollup import facts_told
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.naming import spelled
from jobkit.jobs.settings import Settings
from jobkit.pages.bench.stock import received_words
from jobkit.reckon.stock.on_hand import OnHand, stock
from jobkit.reckon.stock.receive import Typed, receipt_typed
from jobkit.units.errors import MisuseError
from jobkit.units.slip import nearest, quoted


def receive_goods(root: Path, item: str, typed: Typed, on: str | None) -> str:
    """Write a delivery to stock.toml, and say what came and what is on hand; raises MisuseError."""
    opened = open_book(shelf_of(root))
    check_bench(opened)
    bench = opened.bench
    at = _moment(on, bench.settings)
    known = facts_as_of(facts_told(opened), at.date())
    there = item_named(stock(known, bench, at.date()).items, item)
    hand = hand_of(SessionFiles(root).read())
    receipt = receipt_typed(there, typed, at, hand, bench.settings.currency)
    name = there.item.name
    pen = pen_for(root, f"delivery of {name}", bench.settings)
    pen.update("stock.toml", [lambda text: with_receipt(text, name, receipt)])
    left = there.on_hand + receipt.qty if there.on_hand is not None and receipt.qty else None
    return received_words(name, receipt, left)


def _moment(on: str | None, settings: Settings) -> datetime:
    """Return when goods came: now, or at noon of an earlier day."""
    clock = now(settings)
    came = clock.date() if on is None else read_day(on, settings)
    if came > clock.date():
        raise MisuseError(f"{came} is in the future", "record goods on the day on which they come")
    return clock if came == clock.date() else datetime.combine(came, time(12))


def item_named(items: Sequence[OnHand], name: str) -> OnHand:
    """Find an item by its name; raises MisuseError where there is none."""
    meant = spelled(name, [each.item.name for each in items])
    found = next((each for each in items if each.item.name == meant), None)
    if found is None:
        near = nearest(name, tuple(each.item.name for each in items))
        mend = f"did you mean {near}?" if near else "add it to stock.toml first"
        raise MisuseError(f"there is no item {quoted(name)} in stock.toml", mend)
    return found
