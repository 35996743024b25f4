"""What the bench earns in an hour: by week, by design, by kind of work."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, negated, rounded, total
from jobkit.jobs.week import week_of
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.account import usual_currency
from jobkit.reckon.money.balance import earned
from jobkit.reckon.money.cost import parts_cost
from jobkit.reckon.money.terms import closed_day
from jobkit.units.errors import MisuseError


class Earned(NamedTuple):
    """What one group of jobs brought in one currency.

    `billed` is without tax and shipping and less credits, `parts` what the parts cost the bench, `left` the difference,
    `per_hour` that over the bench time, None where there was none.
    """

    group: str
    jobs: int
    minutes: Decimal
    billed: Money
    parts: Money
    left: Money
    per_hour: Money | None


class Earnings(NamedTuple):
    """The rows in order, one row for all, one of each a currency; and the jobs that could not be billed, with why."""

    by: str
    rows: tuple[Earned, ...]
    all: tuple[Earned, ...]
    left_out: tuple[tuple[str, str], ...]
    unpriced: tuple[str, ...]


class _Share(NamedTuple):
    """A job's part in a group: bench time, which counts in the currency of its bill, and money by currency."""

    job: str
    group: str
    currency: str
    minutes: Fraction
    billed: Fraction
    parts: Mapping[str, Fraction]


def earnings(books: Iterable[tuple[Iterable[Facts], Bench]], by: str, since: date | None = None) -> Earnings:
    """Calculate what was earned with the jobs that were finished or declined, on `since` or later.

    Each job counts in the week in which it was finished or declined, and for its design. Over kinds of work its money
    is shared out in proportion to the minutes of each: a way of sharing, and no finding about which work pays. A job
    that brought nothing, such as one under warranty, counts with its hours. Currencies are never added up.
    """
    shares: list[_Share] = []
    left_out: list[tuple[str, str]] = []
    unpriced: dict[str, None] = {}
    for one, bench in ((one, bench) for facts, bench in books for one in facts):
        closed = closed_day(one)
        if not closed or (since and closed < since.isoformat()):
            continue
        parts = parts_cost(one, bench)
        try:
            whole = _whole(one, bench, parts.spent)
        except MisuseError as error:
            left_out.append((one.id, error.message))
            continue
        unpriced |= dict.fromkeys(parts.unknown)
        shares += _GROUPS[by](one, whole)
    groups: dict[str, list[_Share]] = {}
    for share in shares:
        groups.setdefault(share.group, []).append(share)
    rows = tuple(row for group in sorted(groups) for row in _rows(group, groups[group]))
    return Earnings(by, rows, tuple(_rows("all", shares)), tuple(left_out), tuple(unpriced))


def _whole(one: Facts, bench: Bench, parts: Mapping[str, Fraction]) -> _Share:
    money = earned(one, bench)
    minutes = sum((Fraction(str(done.minutes)) for done in one.work), Fraction(0))
    currency = money.currency if money else usual_currency(bench.settings)
    return _Share(one.id, "", currency, minutes, Fraction(money.amount if money else 0), parts)


def _by_week(one: Facts, whole: _Share) -> Iterator[_Share]:
    yield whole._replace(group=str(week_of(date.fromisoformat(closed_day(one)))))


def _by_design(one: Facts, whole: _Share) -> Iterator[_Share]:
    yield whole._replace(group=one.design or f"{one.kind or 'board'} without a board file")


def _by_work(one: Facts, whole: _Share) -> Iterator[_Share]:
    """Share a job out over its kinds of work, by the minute."""
    if not whole.minutes:
        yield whole._replace(group="no bench time")
        return
    for did in dict.fromkeys(done.did for done in one.work if done.minutes):
        minutes = sum((Fraction(str(done.minutes)) for done in one.work if done.did == did), Fraction(0))
        part = minutes / whole.minutes
        parts = {currency: spent * part for currency, spent in whole.parts.items()}
        yield _Share(one.id, did or "other", whole.currency, minutes, whole.billed * part, parts)


_GROUPS: dict[str, Callable[[Facts, _Share], Iterator[_Share]]] = {
    "week": _by_week,
    "design": _by_design,
    "work": _by_work,
}
BY = tuple(_GROUPS)
"""All that earnings can be grouped by."""


def _rows(group: str, shares: Sequence[_Share]) -> Iterator[Earned]:
    """Make one row a currency; parts paid in another than the job is billed in are in a row of their own."""
    for currency in sorted({each for share in shares for each in (share.currency, *share.parts)}):
        own = [share for share in shares if share.currency == currency]
        billed = sum((share.billed for share in own), Fraction(0))
        parts = sum((share.parts.get(currency, Fraction(0)) for share in shares), Fraction(0))
        money, spent = rounded(billed, currency), rounded(parts, currency)
        minutes = sum((share.minutes for share in own), Fraction(0))
        yield Earned(
            group,
            len({share.job for share in own}),
            Decimal(minutes.numerator) / minutes.denominator,
            money,
            spent,
            total([money, negated(spent)], currency),
            rounded((billed - parts) * 60 / minutes, currency) if minutes else None,
        )
