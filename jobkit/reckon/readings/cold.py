"""Resistances to ground on a cold board: which reading is one, and what was known of them at a time."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from datetime import datetime
from operator import itemgetter

from jobkit.jobs.design import PointLimit
from jobkit.jobs.entries import Reading
from jobkit.reckon.readings.limits import QuickVerdict

_COLD = frozenset((None, "cold"))


def is_cold(manner: Reading | PointLimit) -> bool:
    """Tell whether a reading, or the limit for one, is of resistance to ground on a cold board."""
    return manner.kind == "resistance" and manner.state in _COLD and manner.to is None


class ColdReadings:
    """The cold resistances among some readings, in the order of time."""

    def __init__(self, looked: Iterable[QuickVerdict]) -> None:
        """Put them in order; one without a time counts before all others, and of two such the first given."""
        cold = [one for one in looked if is_cold(one.reading)]
        self._untimed = {one.reading.point: one for one in reversed(cold) if one.reading.at is None}
        self._timed = sorted(((one.reading.at, one) for one in cold if one.reading.at), key=itemgetter(0))

    def between(self, after: datetime, until: datetime) -> Mapping[str | None, QuickVerdict]:
        """Find the last of each point that was taken later than `after` and no later than `until`."""
        first = bisect_right(self._timed, after, key=itemgetter(0))
        end = bisect_right(self._timed, until, key=itemgetter(0))
        return {one.reading.point: one for _, one in self._timed[first:end]} | self._untimed
