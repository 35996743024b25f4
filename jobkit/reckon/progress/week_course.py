"""The weeks up to one, each in a few figures, and what of the facts belongs to a stretch of days."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money
from jobkit.jobs.week import Week, first_day, week_of
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.balance import earned
from jobkit.reckon.money.terms import closed_day
from jobkit.reckon.progress.flow import turnaround
from jobkit.reckon.progress.proof_failures import proof_failures
from jobkit.units.errors import MisuseError

COURSE = 12
"""So many weeks are shown beside each other, this one included."""

Books = Sequence[tuple[Bench, Sequence[Facts]]]
"""Benches, each with the facts that were known on a day."""


class WeekCount(NamedTuple):
    """A week in figures: boards, minutes of work, what was charged, median days of those sent, boards that failed."""

    week: Week
    received: int
    finished: int
    sent: int
    comebacks: int
    minutes: Decimal
    charged: tuple[Money, ...]
    turnaround: Decimal | None
    failures: int


def week_course(books: Books, week: Week) -> tuple[WeekCount, ...]:
    """Count the weeks up to one, the oldest first, back to the first board received and no more than twelve."""
    mondays = [first_day(week) - timedelta(weeks=back) for back in range(COURSE) if _is_on(week, back)]
    begun = min((one.received for _, facts in books for one in facts if one.received), default="")
    since = mondays[-1].isoformat()
    late = [(bench, [one for one in facts if one.last_day >= since]) for bench, facts in books]
    return tuple(
        _count(late, monday)
        for monday in reversed(mondays)
        if monday == mondays[0] or (begun and (monday + timedelta(days=6)).isoformat() >= begun)
    )


def _is_on(week: Week, back: int) -> bool:
    """Tell whether the calendar has a week so many weeks before."""
    return (first_day(week) - date.min).days >= 7 * back


def _count(books: Books, monday: date) -> WeekCount:
    sunday = monday + timedelta(days=6)
    known = [one for _, facts in books for one in facts]
    received, sent = (in_days(known, event, monday, sunday) for event in ("received", "sent"))
    failures = (
        failure
        for bench, facts in books
        for failure in proof_failures(facts, bench, monday.isoformat(), sunday.isoformat())
    )
    return WeekCount(
        week_of(monday),
        len(received),
        len(in_days(known, "finished", monday, sunday)),
        len(sent),
        sum(bool(one.comeback_of) for one in received),
        minutes_in(known, monday, sunday),
        charged_in(books, monday, sunday)[0],
        turnaround(sent).median,
        len({failure.job for failure in failures}),
    )


def in_days(facts: Iterable[Facts], event: str, first: date, last: date) -> tuple[Facts, ...]:
    """Choose the jobs whose `event` was on one of these days."""
    since, until = first.isoformat(), last.isoformat()
    return tuple(one for one in facts if since <= getattr(one, event) <= until)


def minutes_in(facts: Iterable[Facts], first: date, last: date) -> Decimal:
    """Add up the minutes of work written down for these days."""
    since, until = first.isoformat(), last.isoformat()
    work = (done for one in facts if one.last_day >= since for done in one.work)
    return sum((Decimal(str(done.minutes)) for done in work if since <= done.day <= until), Decimal(0))


def charged_in(
    books: Iterable[tuple[Bench, Sequence[Facts]]], first: date, last: date
) -> tuple[tuple[Money, ...], tuple[tuple[str, str], ...]]:
    """Add up what the jobs that were finished or declined then earned; name those that cannot be billed, and why."""
    since, until = first.isoformat(), last.isoformat()
    amounts, left_out = [], []
    for bench, facts in books:
        for one in facts:
            if since <= closed_day(one) <= until:
                try:
                    money = earned(one, bench)
                except MisuseError as error:
                    left_out.append((one.id, error.message))
                else:
                    amounts += [money] if money else []
    return sums(amounts), tuple(left_out)


def sums(amounts: Iterable[Money]) -> tuple[Money, ...]:
    """Add amounts up, each currency for itself."""
    sums: dict[str, Decimal] = {}
    for money in amounts:
        sums[money.currency] = sums.get(money.currency, Decimal(0)) + money.amount
    return tuple(Money(amount, currency) for currency, amount in sorted(sums.items()))
