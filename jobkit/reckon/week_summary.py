"""The week on one page: what came, what was finished, what went out, and what it took."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, parse_money
from jobkit.jobs.week import Week, first_day, last_day
from jobkit.reckon.asof import facts_as_of
from jobkit.reckon.flow import Turnaround, turnaround
from jobkit.reckon.status import Status, status


class WeekSummary(NamedTuple):
    """One week of one book, as known at the end of `as_of`.

    `open` are the jobs that were not done by then, with their status; `charged` is one sum a currency, of the jobs
    finished in the week; the turnaround is that of the jobs sent in the week.
    """

    week: Week
    first: date
    last: date
    as_of: date
    received: tuple[Facts, ...]
    finished: tuple[Facts, ...]
    sent: tuple[Facts, ...]
    comebacks: tuple[Facts, ...]
    open: tuple[tuple[Facts, Status], ...]
    minutes: Decimal
    charged: tuple[Money, ...]
    turnaround: Turnaround

    @property
    def on_the_bench(self) -> int:
        """Count the jobs whose status is "on the bench"."""
        return sum(stand.word == "on the bench" for _, stand in self.open)


def week_summary(facts: Iterable[Facts], week: Week, on: date) -> WeekSummary:
    """Sum up a week from what was known at the end of `on`, or at the week's end if that came first."""
    first, last = first_day(week), last_day(week)
    as_of = min(on, last)
    known = facts_as_of(facts, as_of)
    finished = _in_week(known, "finished", first, last)
    sent = _in_week(known, "sent", first, last)
    received = _in_week(known, "received", first, last)
    return WeekSummary(
        week,
        first,
        last,
        as_of,
        received,
        finished,
        sent,
        tuple(one for one in received if one.comeback_of),
        _open(known),
        _minutes(known, first, last),
        _charged(finished),
        turnaround(sent),
    )


def _in_week(facts: Iterable[Facts], event: str, first: date, last: date) -> tuple[Facts, ...]:
    since, until = first.isoformat(), last.isoformat()
    return tuple(one for one in facts if since <= getattr(one, event) <= until)


def _open(facts: Iterable[Facts]) -> tuple[tuple[Facts, Status], ...]:
    stands = ((one, status(one)) for one in facts)
    return tuple((one, stand) for one, stand in stands if stand.word != "done")


def _minutes(facts: Iterable[Facts], first: date, last: date) -> Decimal:
    since, until = first.isoformat(), last.isoformat()
    return sum(
        (Decimal(str(done.minutes)) for one in facts for done in one.work if since <= done.day <= until),
        Decimal(0),
    )


def _charged(finished: Iterable[Facts]) -> tuple[Money, ...]:
    sums: dict[str, Decimal] = {}
    for one in finished:
        if one.price_charged:
            charged = parse_money(one.price_charged)
            sums[charged.currency] = sums.get(charged.currency, Decimal(0)) + charged.amount
    return tuple(Money(amount, currency) for currency, amount in sorted(sums.items()))
