"""The week on one page: what came, what was finished, what went out, and what it took."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal

from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money
from jobkit.jobs.week import Week, first_day, last_day
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.debts import Debt, GiveBack, debt, give_back
from jobkit.reckon.progress.due import Due, falling_due
from jobkit.reckon.progress.flow import (
    WEEKS,
    InProgress,
    Throughput,
    Turnaround,
    in_progress,
    throughput,
    turnaround,
)
from jobkit.reckon.progress.proof_failures import Failure, proof_failures
from jobkit.reckon.progress.status import Status, status
from jobkit.reckon.progress.week_course import WeekCount, charged_in, in_days, minutes_in, sums, week_course

EVENTS = ("received", "finished", "sent")
"""What moves in a week."""


class WeekSummary(NamedTuple):
    """One week of one bench or several, as known at the end of `as_of`.

    `open` are the jobs whose boards were not gone by then, with their status, the oldest first. `charged` and `unpaid`
    are one sum a currency: what the jobs finished or declined in the week earned, and what is owed for all that are
    over, tax included. `debts` are those, the longest due first, `give_back` what the bench owes; `left_out` are the
    jobs of the week that cannot be billed, with why. The turnaround is that of the jobs sent in the week. `comebacks`
    are jobs received that had been here before. `causes` are those of the jobs finished, with how many had each.
    `course` has the weeks up to this one in figures.
    """

    week: Week
    first: date
    last: date
    as_of: date
    received: tuple[Facts, ...]
    finished: tuple[Facts, ...]
    sent: tuple[Facts, ...]
    comebacks: tuple[Facts, ...]
    throughput: Mapping[str, Throughput]
    open: tuple[tuple[Facts, Status], ...]
    in_progress: tuple[InProgress, ...]
    minutes: Decimal
    charged: tuple[Money, ...]
    unpaid: tuple[Money, ...]
    debts: tuple[Debt, ...]
    give_back: tuple[GiveBack, ...]
    left_out: tuple[tuple[str, str], ...]
    turnaround: Turnaround
    causes: tuple[tuple[str, int], ...]
    failures: tuple[Failure, ...]
    course: tuple[WeekCount, ...] = ()

    @property
    def on_the_way(self) -> tuple[Facts, ...]:
        """Give the boards that were announced and have not come."""
        return tuple(one for one, stand in self.open if stand.word == "announced")

    @property
    def on_the_bench(self) -> int:
        """Count the jobs whose status is "on the bench"."""
        return sum(stand.word == "on the bench" for _, stand in self.open)


def week_summary(benches: Iterable[Bench], week: Week, on: date) -> WeekSummary:
    """Sum up a week from what was known at the end of `on`, or at the week's end if that came first."""
    first, last = first_day(week), last_day(week)
    as_of = min(on, last)
    books = [(bench, facts_as_of(bench.facts, as_of)) for bench in benches]
    known = [one for _, facts in books for one in facts]
    received, finished, sent = (in_days(known, event, first, last) for event in EVENTS)
    still = _open(known)
    charged, left_out = charged_in(books, first, last)
    debts = tuple(sorted((each for bench, facts in books for each in _debts(bench, facts)), key=_by_due))
    return WeekSummary(
        week,
        first,
        last,
        as_of,
        received,
        finished,
        sent,
        tuple(one for one in received if one.comeback_of),
        _throughput(known, week),
        still,
        in_progress(still, as_of),
        minutes_in(known, first, last),
        charged,
        sums(each.owed for each in debts),
        debts,
        tuple(back for bench, facts in books for one in facts if (back := give_back(one, bench))),
        left_out,
        turnaround(sent),
        _causes(finished),
        tuple(
            failure
            for bench, facts in books
            for failure in proof_failures(facts, bench, first.isoformat(), last.isoformat())
        ),
        week_course(books, week),
    )


def _throughput(known: Sequence[Facts], week: Week) -> dict[str, Throughput]:
    weeks = _weeks(known, week)
    days = {event: [getattr(one, event) for one in known] for event in EVENTS}
    days["comebacks"] = [one.received for one in known if one.comeback_of]
    return {event: throughput(each, weeks) for event, each in days.items()}


def _weeks(known: Sequence[Facts], week: Week) -> list[tuple[str, str]]:
    """Give the first and last days of the week and of those before it, back to the first job received."""
    begun = min((one.received for one in known if one.received), default="")
    monday = first_day(week)
    mondays = [
        monday - timedelta(weeks=count) for count in range(min(WEEKS, (monday - date.min).days // 7) + 1)
    ]
    spans = [(day.isoformat(), (day + timedelta(days=6)).isoformat()) for day in mondays]
    return [spans[0], *(span for span in spans[1:] if begun and span[1] >= begun)]


def _causes(finished: Iterable[Facts]) -> tuple[tuple[str, int], ...]:
    named = Counter(one.cause_fault or one.cause_part for one in finished)
    return tuple(
        sorted(((cause, count) for cause, count in named.items() if cause), key=lambda pair: (-pair[1], pair))
    )


def _open(facts: Iterable[Facts]) -> tuple[tuple[Facts, Status], ...]:
    stands = ((one, status(one)) for one in facts)
    still = ((one, stand) for one, stand in stands if stand.word not in {"done", "sent, unpaid"})
    return tuple(sorted(still, key=lambda pair: (pair[0].known_from, pair[0].id)))


def _debts(bench: Bench, facts: Iterable[Facts]) -> Iterator[Debt]:
    return (owed for one in facts if (owed := debt(one, bench)))


def _by_due(owed: Debt) -> tuple[date, str]:
    return owed.due, owed.job.id


def ahead(benches: Iterable[Bench], summary: WeekSummary) -> tuple[Due, ...]:
    """List what falls due after the day of a summary, to the end of the week after."""
    until = summary.last + timedelta(weeks=1) if summary.last < date.max - timedelta(weeks=1) else date.max
    found = (item for bench in benches for item in falling_due(bench, summary.as_of, until))
    return tuple(sorted(found, key=lambda item: item.on))
