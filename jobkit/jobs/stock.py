"""Parts on hand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property

from jobkit.jobs.facts import Day
from jobkit.jobs.finding import Place
from jobkit.jobs.in_force import AmountSince, in_force
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.units.quantity import Quantity


class Lot(NamedTuple):
    """A lot of an item that is kept apart, counted together with it.

    It is still sealed where `opened` is None; `baked` is the day of its last bake.
    """

    path: Place
    name: str = ""
    counted: Decimal | None = None
    opened: date | None = None
    baked: date | None = None
    cost: Money | None = None
    note: str | None = None


class Receipt(NamedTuple):
    """A delivery of an item: how many came, at which cost a piece, into which lot."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    qty: Decimal | None = None
    cost: Money | None = None
    lot: str | None = None
    note: str | None = None

    @property
    def day(self) -> Day:
        """Return the day on which it came, "" where that is not known."""
        return self.at.date().isoformat() if self.at else ""


class Count(NamedTuple):
    """A count to be written down: how many of an item there were in all, and in each lot by its name."""

    item: str
    on: date
    counted: Decimal
    lots: tuple[tuple[str, Decimal], ...] = ()


class _ItemEntry(NamedTuple):
    """One kind of part: counted how many, when, and what it costs.

    `cost` is the history of what one piece cost the bench, `price` what the client pays for one where that differs,
    `tax` a rate of its own in percent. `body_mm` is how thick its body is, `body_mm3` its volume, `classified` the
    temperature of its own rating.
    """

    path: Place
    name: str
    what: str | None = None
    counted: Decimal | None = None
    counted_on: date | None = None
    reorder_at: Decimal | None = None
    reorder_to: Decimal | None = None
    cost: tuple[AmountSince, ...] = ()
    moisture: str | None = None
    body_mm: Decimal | None = None
    body_mm3: Decimal | None = None
    classified: Quantity | None = None
    opened: date | None = None
    baked: date | None = None
    price: Money | None = None
    tax: Decimal | None = None
    place: str | None = None
    order_from: str | None = None
    order_as: str | None = None
    lots: tuple[Lot, ...] = ()
    received: tuple[Receipt, ...] = ()


class Item(_ItemEntry):
    """One kind of part, as stock.toml has it."""

    # Job after job asks, and no item changes, so its lots are put in order once.

    def cost_on(self, day: Day) -> Money | None:
        """Return what was paid last for one piece until a day, None where that is not known."""
        paid = max((one for one in self.received if one.cost and one.day <= day), key=_day, default=None)
        entry = in_force(self.cost, day)
        if paid and (entry is None or paid.day >= entry.since):
            return paid.cost
        return entry.amount if entry else None

    def received_since_count(self, until: Day = "9999") -> tuple[Receipt, ...]:
        """Return what came after the day of the last count, until a day."""
        counted = self.counted_on.isoformat() if self.counted_on else ""
        return tuple(one for one in self.received if one.qty and counted < one.day <= until)

    @cached_property
    def _lots(self) -> Mapping[str, Lot]:
        return {lot.name: lot for lot in reversed(self.lots)}  # the first of a name stays

    @cached_property
    def lot_names(self) -> frozenset[str]:
        """The names of its lots."""
        return frozenset(self._lots)

    def lot(self, name: str) -> Lot | None:
        """Find a lot by its name."""
        return self._lots.get(name)


def _day(receipt: Receipt) -> Day:
    return receipt.day
