"""The weeks up to one beside each other, and what falls due in the next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal

from jobkit.pages.bench.due import next_step, why
from jobkit.pages.blocks import BarRow, Bars, Block, Table, Title
from jobkit.pages.forms.data import Data, number
from jobkit.reckon.progress.due import Due
from jobkit.reckon.progress.week_course import WeekCount

_ROWS: Sequence[tuple[str, str, Callable[[WeekCount], float | None]]] = (
    ("received", "", lambda each: each.received),
    ("finished", "", lambda each: each.finished),
    ("sent", "", lambda each: each.sent),
    ("comebacks", "", lambda each: each.comebacks),
    ("failed proof", "", lambda each: each.failures),
    ("bench time", "h", lambda each: _rounded(each.minutes / 60)),
    (
        "turnaround, median",
        "days",
        lambda each: None if each.turnaround is None else _rounded(each.turnaround),
    ),
)


def course_blocks(course: Sequence[WeekCount]) -> Iterator[Block]:
    """Draw what is counted in a week over the weeks; nothing where there is one week alone."""
    if len(course) < 2:
        return
    labels = [f"W{each.week.number:02d}" for each in course]
    rows = [
        BarRow(label, [(week, pick(each)) for week, each in zip(labels, course, strict=True)], unit)
        for label, unit, pick in _ROWS
    ]
    for currency in sorted({money.currency for each in course for money in each.charged}):
        charged = [(week, _charged(each, currency)) for week, each in zip(labels, course, strict=True)]
        rows.append(BarRow("charged", charged, currency))
    yield Title(f"The last {len(course)} weeks")
    yield Bars("Each bar is a week, the last one this week.", "week", rows)


def _charged(each: WeekCount, currency: str) -> float:
    return float(sum(money.amount for money in each.charged if money.currency == currency))


def _rounded(value: Decimal) -> float:
    return float(round(value, 1))


def course_data(course: Sequence[WeekCount]) -> list[Data]:
    """Give the weeks as data."""
    return [
        {
            "week": str(each.week),
            "received": each.received,
            "finished": each.finished,
            "sent": each.sent,
            "comebacks": each.comebacks,
            "failures": each.failures,
            "hours": number((each.minutes / 60).quantize(Decimal("0.01"))),
            "charged": [str(money) for money in each.charged],
            "turnaround_median_days": None if each.turnaround is None else number(each.turnaround),
        }
        for each in course
    ]


def due_table(ahead: Sequence[Due]) -> Table:
    """List what falls due."""
    rows = [(str(item.on), item.what, item.job or item.about, why(item), next_step(item)) for item in ahead]
    return Table(("on", "what", "about", "why", "next step"), rows, below=("why",))


def due_data(item: Due) -> Data:
    """Give what falls due as data."""
    return {"on": str(item.on), "what": item.what, "job": item.job or None, "about": item.about or None}
