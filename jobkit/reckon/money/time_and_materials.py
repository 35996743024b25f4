"""What a repair comes to by the minute: bench time at the bench's rate, and the parts used."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts, UsedRow
from jobkit.jobs.money import Money, negated, parse_unit_price, rounded, total
from jobkit.jobs.stock import Item
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.cost import cost_of
from jobkit.reckon.money.priced import Priced, most_allowed, percent
from jobkit.reckon.money.terms import rate_of, usual_day
from jobkit.units.errors import MisuseError
from jobkit.units.phrase import phrase

LABOUR, PART, CUT = "labour", "part", "cut"
"""What a line is for."""


class RateError(MisuseError):
    """Bench time that has no price."""


class ByTheMinute(NamedTuple):
    """The lines, the minutes by kind of work, the parts without a price, and what went beyond the most agreed to."""

    lines: tuple[Priced, ...]
    minutes: tuple[tuple[str, Decimal], ...]
    unpriced: tuple[str, ...]
    cut: Money | None


def by_the_minute(facts: Facts, bench: Bench) -> ByTheMinute:
    """Calculate a repair by the minute.

    Bench time is the minutes of all [[work]], at the rate in force on the day of each; a load run needs no technician
    beside it. Each part costs the price that the job names for it, else that in stock.toml where it came from stock,
    else what it cost; a part that the client brought only what the job names. Where this comes to more than the client
    allowed, a line takes off the rest. Raises RateError where there is work on a day for which bench.toml has no rate.
    """
    minutes = _minutes(facts)
    lines = [*_labour(facts, bench)]
    unpriced = []
    for took in facts.used:
        if took.source == "client" and not took.price:
            continue
        price = price_of(took, facts, bench)
        if price is None:
            unpriced.append(_called(took, bench))
        elif price.amount:
            lines.append(_part(took, price, bench, facts))
    cuts = tuple(_cuts(lines, most_allowed(facts)))
    cut = total((line.each for line in cuts), cuts[0].each.currency) if cuts else None
    return ByTheMinute((*lines, *cuts), minutes, tuple(unpriced), cut)


def price_of(took: UsedRow, facts: Facts, bench: Bench) -> Money | None:
    """Return what the client pays for one piece; None where that is not known."""
    if took.price:
        return parse_unit_price(took.price)
    item = bench.stock.get(took.item) if took.from_stock else None
    return (item.price if item else None) or cost_of(took, facts, bench)


def _minutes(facts: Facts) -> tuple[tuple[str, Decimal], ...]:
    spent: dict[str, Decimal] = {}
    for work in facts.work:
        spent[work.did or "work"] = spent.get(work.did or "work", Decimal(0)) + Decimal(str(work.minutes))
    return tuple((did, minutes) for did, minutes in spent.items() if minutes)


def _labour(facts: Facts, bench: Bench) -> Iterator[Priced]:
    """Make one line for each hourly rate."""
    spent: dict[Money, Fraction] = {}
    for work in facts.work:
        if not work.minutes:
            continue
        rate = rate_of(work, facts, bench.settings)
        if rate is None:
            raise _no_rate(work.day or usual_day(facts), facts, bench)
        spent[rate] = spent.get(rate, Fraction(0)) + Fraction(str(work.minutes))
    for rate, minutes in spent.items():
        yield Priced(phrase("bench time, by the hour"), rate, minutes / 60, kind=LABOUR)


def _no_rate(day: str, facts: Facts, bench: Bench) -> RateError:
    named = "has no rate" if not bench.settings.rate else f"has no rate for {day}"
    return RateError(
        f"{facts.id} cannot be calculated by the minute: bench.toml {named}",
        'write one under [bench], as in rate = "48.00 EUR"',
    )


def _part(took: UsedRow, price: Money, bench: Bench, facts: Facts) -> Priced:
    item = bench.stock.get(took.item) if took.from_stock else None
    own = percent(took.tax)
    if own is None and not facts.price_tax and item:
        own = item.tax
    return Priced(_called(took, bench), price, Decimal(took.qty), own, PART)


def _called(took: UsedRow, bench: Bench) -> str:
    item: Item | None = bench.stock.get(took.item)
    name = (item and item.what) or took.item
    return f"{name} ({took.part})" if took.part else name


def _cuts(lines: list[Priced], most: Money | None) -> Iterator[Priced]:
    """Take off what goes beyond the most allowed, from each rate of tax its share, so that all comes to it exactly."""
    amounts = [line.amount for line in lines]
    if most is None or not amounts or {one.currency for one in amounts} != {most.currency}:
        return
    whole = total(amounts, most.currency)
    beyond = total([whole, negated(most)], most.currency)
    if beyond.amount <= 0:
        return
    so_far, taken = Fraction(0), Money(Decimal(0), most.currency)
    for rate in dict.fromkeys(line.percent for line in lines):
        so_far += sum(Fraction(line.amount.amount) for line in lines if line.percent == rate)
        until = rounded(Fraction(beyond.amount) * so_far / Fraction(whole.amount), most.currency)
        share = total([until, negated(taken)], most.currency)
        taken = until
        if share.amount:
            yield Priced(
                phrase("discount to the agreed maximum, {most}", most=most), share, Decimal(-1), rate, CUT
            )
