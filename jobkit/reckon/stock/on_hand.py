"""Parts on hand: what was counted less what jobs have used since, and what that is worth."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.money import Money, times, total
from jobkit.jobs.stock import Item, Lot, Receipt
from jobkit.named_tuple import NamedTuple

_ZERO = Decimal(0)


class Use(NamedTuple):
    """A part taken from stock: by which job, which of its [[used]] from 0, on which day, how many, out of which lot."""

    job: Facts
    row: int
    day: Day
    item: str
    qty: Decimal
    lot: str


class LotOnHand(NamedTuple):
    """A lot of an item: what came and was used since the count, what is left (None where it was never counted)."""

    lot: Lot
    received: Decimal
    used: Decimal
    on_hand: Decimal | None


class OnHand(NamedTuple):
    """An item: what came and was used since the count, what is left (None without a count), what that is worth.

    `without_lot` were taken from no lot that the item has. `short` where the reorder level is reached. `cost` is that
    of one piece on the day. `worth` is empty where no cost is known, and holds one sum a currency.
    """

    item: Item
    received: Decimal
    used: Decimal
    on_hand: Decimal | None
    short: bool
    cost: Money | None
    worth: tuple[Money, ...]
    lots: tuple[LotOnHand, ...]
    without_lot: Decimal = _ZERO

    @property
    def outside_lots(self) -> Decimal:
        """Count the pieces beside the lots, negative where the lots hold more than was counted."""
        known = [one.lot.counted for one in self.lots if one.lot.counted is not None]
        if self.item.counted is None or not known:
            return _ZERO
        stray = self.received - sum((one.received for one in self.lots), _ZERO)
        return self.item.counted - sum(known, _ZERO) + stray

    @property
    def to_order(self) -> int | None:
        """Return how many to order, whole pieces; None where the item is not short or names no level to reach."""
        if not self.short or self.on_hand is None or self.item.reorder_to is None:
            return None
        return max(math.ceil(self.item.reorder_to - self.on_hand), 0)


class Stock(NamedTuple):
    """All items as of the end of a day, in the order of stock.toml.

    `worth` adds up what is worth something, one sum a currency; `strangers` are names under which parts were taken from
    stock though stock.toml does not have them, with how many.
    """

    on: date
    items: tuple[OnHand, ...]
    worth: tuple[Money, ...]
    strangers: tuple[tuple[str, Decimal], ...]


def stock(facts: Iterable[Facts], bench: Bench, on: date) -> Stock:
    """Calculate what is on hand at the end of `on`, from facts as of that day.

    On hand is what was counted, with what came since, less what jobs took from stock since: on days after that of the
    count. What came or was taken on the day itself counts as before it, so count when the day's work is done. An entry
    without a time counts as taken since, unless its job was over by the day of the count. A count of a later day is not
    known yet, so that nothing is known to be on hand. Two entries alike are two parts: two benches may take one at the
    same minute.
    """
    taken = uses_by_item(facts)
    items = tuple(_on_hand(item, taken.get(name, ()), on) for name, item in bench.stock.items())
    strangers = {
        name: sum((use.qty for use in uses), _ZERO) for name, uses in taken.items() if name not in bench.stock
    }
    return Stock(
        on, items, summed(money for each in items for money in each.worth), tuple(sorted(strangers.items()))
    )


def uses(facts: Iterable[Facts]) -> Iterator[Use]:
    """Go through all that was taken from stock."""
    for one in facts:
        for row, took in enumerate(one.used):
            if took.item and took.from_stock:
                yield Use(one, row, took.day, took.item, Decimal(took.qty), took.lot)


def uses_by_item(facts: Iterable[Facts]) -> Mapping[str, list[Use]]:
    """Gather what was taken from stock by item."""
    taken: dict[str, list[Use]] = {}
    for use in uses(facts):
        taken.setdefault(use.item, []).append(use)
    return taken


def uses_by_lot(uses: Iterable[Use]) -> Mapping[str, list[Use]]:
    """Gather what was taken of one item by lot."""
    taken: dict[str, list[Use]] = {}
    for use in uses:
        taken.setdefault(use.lot, []).append(use)
    return taken


def since_counted(facts: Iterable[Facts], items: Iterable[Item]) -> Iterator[Facts]:
    """Pick the jobs that may have taken something since any of these items was counted.

    Not so a job that was over by then, and in which nothing is of a later day.
    """
    first = min(
        (one.counted_on.isoformat() if one.counted_on else "" for one in items), default=date.max.isoformat()
    )
    for one in facts:
        over = one.finished or one.sent or one.collected
        if not over or one.last_day > first:
            yield one


def is_since(use: Use, counted_on: date | None) -> bool:
    """Tell whether a part was taken since a count: on a later day, or on an unknown day in a job not over by then."""
    if counted_on is None:
        return True
    if use.day:
        return use.day > counted_on.isoformat()
    over = use.job.finished or use.job.sent or use.job.collected
    return not over or over > counted_on.isoformat()


def _on_hand(item: Item, taken: Iterable[Use], on: date) -> OnHand:
    since = [use for use in taken if is_since(use, item.counted_on)]
    used = sum((use.qty for use in since), _ZERO)
    is_known = item.counted is not None and (item.counted_on is None or item.counted_on <= on)
    came = item.received_since_count(on.isoformat())
    received = _sum(came)
    left = item.counted + received - used if item.counted is not None and is_known else None
    short = left is not None and item.reorder_at is not None and left <= item.reorder_at
    by_lot = uses_by_lot(since) if item.lots else {}
    lots = tuple(_lot(lot, came, by_lot.get(lot.name, ()), is_known=is_known) for lot in item.lots)
    cost = item.cost_on(on.isoformat())
    stray = used - sum((lot.used for lot in lots), _ZERO) if lots else _ZERO
    return OnHand(item, received, used, left, short, cost, _worth(cost, left, lots), lots, stray)


def _lot(lot: Lot, came: Iterable[Receipt], since: Iterable[Use], *, is_known: bool) -> LotOnHand:
    used = sum((use.qty for use in since), _ZERO)
    received = _sum(one for one in came if one.lot == lot.name)
    left = lot.counted + received - used if lot.counted is not None and is_known else None
    return LotOnHand(lot, received, used, left)


def _sum(came: Iterable[Receipt]) -> Decimal:
    return sum((one.qty for one in came if one.qty), _ZERO)


def _worth(cost: Money | None, left: Decimal | None, lots: Iterable[LotOnHand]) -> tuple[Money, ...]:
    """Value what is left at cost: of each lot with a cost of its own at that, of the rest at the item's."""
    rest = max(left or _ZERO, _ZERO)
    sums = []
    for lot in lots:
        if lot.lot.cost and lot.on_hand is not None:
            count = min(max(lot.on_hand, _ZERO), rest)
            sums.append(times(lot.lot.cost, count))
            rest -= count
    if cost and left is not None:
        sums.append(times(cost, rest))
    return summed(sums)


def summed(sums: Iterable[Money]) -> tuple[Money, ...]:
    """Add up each currency for itself."""
    by_currency: dict[str, list[Money]] = {}
    for money in sums:
        by_currency.setdefault(money.currency, []).append(money)
    return tuple(total(each, currency) for currency, each in sorted(by_currency.items()))
