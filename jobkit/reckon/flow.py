"""How boards flow through the bench: turnaround and age."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.facts import Facts
from jobkit.reckon.quantile import median, quantile

_NINE_TENTHS = Decimal("0.9")


class Turnaround(NamedTuple):
    """Days from receipt to sending: of how many jobs, the median, and what nine of ten stay below (type 7)."""

    n: int
    median: Decimal | None
    p90: Decimal | None


def turnaround(facts: Iterable[Facts]) -> Turnaround:
    """Reckon the turnaround of the jobs that have been sent; quantiles are of type 7 (Hyndman and Fan 1996)."""
    days = [_days(one.received, one.sent) for one in facts if one.received and one.sent]
    if not days:
        return Turnaround(0, None, None)
    return Turnaround(len(days), median(days), quantile(days, _NINE_TENTHS))


def age_days(facts: Facts, on: date) -> int | None:
    """Count the days a board has been here: from receipt to the day it left, or to `on`."""
    left = facts.sent or facts.collected or on.isoformat()
    return _days(facts.received, left) if facts.received else None


def _days(first: str, then: str) -> int:
    return (date.fromisoformat(then) - date.fromisoformat(first)).days
