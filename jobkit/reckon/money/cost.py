"""What the parts of a job cost the bench."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts, UsedRow
from jobkit.jobs.money import Money, parse_unit_price
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.terms import usual_day


class PartsCost(NamedTuple):
    """What the parts of a job cost the bench, exact by currency, and the items whose cost is not known."""

    spent: Mapping[str, Fraction]
    unknown: tuple[str, ...]


def parts_cost(facts: Facts, bench: Bench) -> PartsCost:
    """Add up what the parts of a job cost the bench."""
    spent: dict[str, Fraction] = {}
    unknown: dict[str, None] = {}
    for took, cost in paid_parts(facts, bench):
        if cost is None:
            unknown[took.item] = None
        else:
            before = spent.get(cost.currency, Fraction(0))
            spent[cost.currency] = before + Fraction(cost.amount) * Fraction(took.qty)
    return PartsCost(spent, tuple(unknown))


def paid_parts(facts: Facts, bench: Bench) -> Iterator[tuple[UsedRow, Money | None]]:
    """Go through the parts that the bench paid for, not those of the client, with the cost of one piece."""
    return ((took, cost_of(took, facts, bench)) for took in facts.used if took.source != "client")


def cost_of(took: UsedRow, facts: Facts, bench: Bench) -> Money | None:
    """Return what one piece cost the bench: by the job, the lot, or the item on the day of use; None where unknown."""
    if took.cost:
        return parse_unit_price(took.cost)
    item = bench.stock.get(took.item) if took.from_stock else None
    if item is None:
        return None
    lot = item.lot(took.lot) if took.lot else None
    return (lot and lot.cost) or item.cost_on(took.day or usual_day(facts))
