"""How boards flow through the bench: turnaround, throughput, what is in progress, and how old it is."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise

from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.progress.status import STATUSES, Status
from jobkit.reckon.statistics.quantile import median, quantile

_NINE_TENTHS = Decimal("0.9")


class Turnaround(NamedTuple):
    """Days from receipt to sending: of how many jobs, the median, and what nine of ten stay below (type 7)."""

    n: int
    median: Decimal | None
    p90: Decimal | None


def turnaround(facts: Iterable[Facts]) -> Turnaround:
    """Calculate the turnaround of the jobs that have been sent; quantiles are of type 7 (Hyndman and Fan 1996)."""
    days = [_days(one.received, one.sent) for one in facts if one.received and one.sent]
    if not days:
        return Turnaround(0, None, None)
    return Turnaround(len(days), median(days), quantile(days, _NINE_TENTHS))


class Throughput(NamedTuple):
    """How many in this week and the week before, and the median of the `weeks` before this one, None without any."""

    this: int
    last: int
    median: Decimal | None
    weeks: int


class InProgress(NamedTuple):
    """Boards of one status that are still here: how many, how many of them wait, how many of each age, the oldest.

    `ages` count boards up to each of AGES days, and those beyond in the end.
    """

    status: str
    jobs: int
    waiting: int
    ages: tuple[int, ...]
    oldest: int


AGES = (7, 14, 30)
"""Days from receipt at which the next class of ages begins."""

WEEKS = 8
"""So many weeks before this one make up what is usual."""


def throughput(days: Sequence[str], weeks: Sequence[tuple[str, str]]) -> Throughput:
    """Count days week by week; `weeks` are first and last days, this week first, then each before it.

    Only weeks in which the bench had begun belong there: an empty week before the first job is none.
    """
    ordered = sorted(days)
    counts = [bisect_right(ordered, last) - bisect_left(ordered, first) for first, last in weeks]
    before = counts[1 : WEEKS + 1]
    return Throughput(counts[0], sum(before[:1]), median(before) if before else None, len(before))


def in_progress(standing: Iterable[tuple[Facts, Status]], on: date) -> tuple[InProgress, ...]:
    """Sort what is still here by status, in the order of a job's life, and by age."""
    by_status: dict[str, list[tuple[int, bool]]] = {}
    for one, stand in standing:
        by_status.setdefault(stand.word, []).append((age_days(one, on) or 0, bool(stand.waiting)))
    return tuple(
        InProgress(
            word,
            len(by_status[word]),
            sum(waits for _, waits in by_status[word]),
            _classes([age for age, _ in by_status[word]]),
            max(age for age, _ in by_status[word]),
        )
        for word in STATUSES
        if word in by_status
    )


def _classes(ages: Sequence[int]) -> tuple[int, ...]:
    ends = (-1, *AGES, float("inf"))
    return tuple(sum(low < age <= high for age in ages) for low, high in pairwise(ends))


def age_days(facts: Facts, on: date) -> int | None:
    """Count the days a board has been here, to the day it left or to `on`; where it is on its way, since announced."""
    left = facts.gone or on.isoformat()
    begun = facts.received or facts.announced
    return _days(begun, left) if begun else None


def _days(first: str, then: str) -> int:
    return (date.fromisoformat(then) - date.fromisoformat(first)).days
