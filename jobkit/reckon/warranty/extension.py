"""What a longer warranty would cost, from the comebacks the bench has had."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import Duration, DurationError, last_covered
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, rounded
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.cost import paid_parts
from jobkit.reckon.statistics.proportion import poisson
from jobkit.reckon.warranty.comebacks import Case
from jobkit.reckon.warranty.cover import ANOTHER_REPAIR

FEW_EVENTS = 5
"""Below so many comebacks nothing is projected: the ends of the Poisson interval of 4 are a factor of nine apart."""


class ComebackRate(NamedTuple):
    """Comebacks at the bench's cost in so many board-days, and how many that lets expect in the days added.

    `low` and `high` are the ends of the exact 95 % interval of Poisson counts, for the same days.
    """

    comebacks: int
    days: int
    expected: Fraction
    low: float
    high: float

    @property
    def few(self) -> bool:
        """Tell whether these are too few comebacks to project from."""
        return self.comebacks < FEW_EVENTS


class Cost(NamedTuple):
    """What the finished comebacks at the bench's cost took: how many, all minutes, and what one took on average.

    `foreign` counts the parts whose cost is in another currency than the bench's rate, and so not in the average.
    """

    jobs: int
    minutes: Decimal
    each: Money | None
    foreign: int


class WarrantyExtension(NamedTuple):
    """What a warranty of `duration` would add to the boards counted.

    `within` goes by the rate while boards were covered, `after` by what is known of boards past their warranty; None
    where no board was watched for a day.
    """

    duration: Duration
    boards: int
    days_added: int
    within: ComebackRate | None
    after: ComebackRate | None
    cost: Cost


def warranty_extension(
    cases: Sequence[Case], duration: Duration, on: date, rate: Money | None, benches: Iterable[Bench]
) -> WarrantyExtension:
    """Calculate what covering every board for `duration` from its first covered day would have added.

    Comebacks are taken to come evenly over the days added, at a rate seen before: events in so many board-days, with
    the exact Poisson interval (Garwood 1936). New faults and misuse are left out, as the client pays for those. `rate`
    is what an hour of bench time is calculated at, `benches` know what their parts cost.
    """
    added = sum(_days_added(case, duration) for case in cases)
    ours_within = [case.back for case in cases if case.back and at_our_cost(case.back)]
    past = [case for case in cases if not case.back and not case.cover.void]
    ours_after = [case.late for case in past if case.late and at_our_cost(case.late)]
    return WarrantyExtension(
        duration,
        len(cases),
        added,
        _comeback_rate(len(ours_within), sum(case.stay.days for case in cases), added),
        _comeback_rate(len(ours_after), sum(_days_after(case, on) for case in past), added),
        cost_of(ours_within, rate, benches),
    )


def at_our_cost(back: Facts) -> bool:
    """Tell whether a comeback is the bench's to pay; one whose reason is not known yet is counted as such."""
    return back.comeback_found not in ANOTHER_REPAIR


def cost_of(jobs: Iterable[Facts], rate: Money | None, benches: Iterable[Bench]) -> Cost:
    """Calculate what finished jobs cost on average: bench time at a rate, and parts in the same currency."""
    finished = [one for one in jobs if one.finished]
    minutes = sum((Decimal(str(done.minutes)) for one in finished for done in one.work), Decimal(0))
    if rate is None or not finished:
        return Cost(len(finished), minutes, None, 0)
    bench_of = {one.id: bench for bench in benches for one in bench.facts}
    used = [pair for one in finished for pair in paid_parts(one, bench_of.get(one.id, Bench()))]
    parts = [(took.qty, cost) for took, cost in used if cost]
    whole = Fraction(minutes) / 60 * Fraction(rate.amount) + sum(
        Fraction(qty) * Fraction(cost.amount) for qty, cost in parts if cost.currency == rate.currency
    )
    foreign = sum(cost.currency != rate.currency for _, cost in parts)
    return Cost(len(finished), minutes, rounded(whole / len(finished), rate.currency), foreign)


def _comeback_rate(comebacks: int, days: int, added: int) -> ComebackRate | None:
    if days <= 0:
        return None
    known = poisson(comebacks)
    return ComebackRate(
        comebacks,
        days,
        Fraction(comebacks * added, days),
        known.low * added / days,
        known.high * added / days,
    )


def _days_added(case: Case, duration: Duration) -> int:
    if case.cover.void or case.cover.first_day is None:
        return 0
    try:
        end = last_covered(case.cover.first_day, duration)
    except DurationError:
        end = date.max
    return max((end - case.end).days, 0)


def _days_after(case: Case, on: date) -> int:
    """Count the days a board was watched past its warranty."""
    until = date.fromisoformat(case.late.received) if case.late else on
    return max((until - case.end).days, 0)
