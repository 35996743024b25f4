"""What good boards of a design read, point by point and manner by manner, and how much that says of other boards.

For each manner: number, mean, standard deviation, median and range; from four boards on the exact normal tolerance
interval; for any number what order statistics alone allow to say. The interval is reckoned on logarithms where the
highest reading is more than ten times the lowest. Answers to odd samples:

- open readings are no numbers: they are counted beside the rest, there is no interval while there are any, and the
  confidence is that of "the lowest reading and up, open included";
- readings that are all alike give an interval without width: true of the formula, but of no meter;
- readings that were unsettled are told, and not reckoned with.

Readings of several meters are pooled, each with its leads taken off.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.facts import Facts
from jobkit.jobs.manner import Manner
from jobkit.reckon.readings.good_boards import Good, LeftOut, good_jobs, readings_by_manner, same_board
from jobkit.reckon.readings.limits import manner_of_limit, suits
from jobkit.reckon.readings.meters import same_display
from jobkit.reckon.readings.odd_one_out import least_difference
from jobkit.reckon.statistics.moments import SampleStatistics, moments
from jobkit.reckon.statistics.outliers import odd_ones
from jobkit.reckon.statistics.tolerance import ToleranceInterval, range_confidence, tolerance_interval
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.kinds import KINDS

CONTENT = CONFIDENCE = Decimal("0.95")
FEWEST = 4
"""Boards from which on an interval is given."""


class Usual(NamedTuple):
    """What good boards read in one manner; all figures in the base unit.

    `readings` are those reckoned with, `open`, `unsettled` and `outliers` those that are not. `moments` are of the
    readings as they are; `logs`, of their decimal logarithms, only where `scale` is "log". `range_confidence` is that
    of the range seen, of both its ends or, with open readings, of the lower one.
    """

    manner: Manner
    readings: tuple[Good, ...] = ()
    open: tuple[Good, ...] = ()
    unsettled: tuple[Good, ...] = ()
    outliers: tuple[Good, ...] = ()
    scale: str = "linear"
    moments: SampleStatistics | None = None
    logs: SampleStatistics | None = None
    interval: ToleranceInterval | None = None
    range_confidence: float | None = None

    @property
    def unit(self) -> str:
        """The base unit of the kind."""
        return KINDS[self.manner.kind].unit

    @property
    def n(self) -> int:
        """How many readings are reckoned with."""
        return len(self.readings)

    @property
    def one_display(self) -> bool:
        """Whether all readings come from one range of one meter, so that its systematic error is common to them."""
        return same_display([good.corrected for good in self.readings])


class DesignUsual(NamedTuple):
    """What good boards of a design read, in the order of its board file; which jobs count, and which do not."""

    design: str
    rows: tuple[Usual, ...]
    jobs: tuple[Facts, ...]
    left_out: tuple[LeftOut, ...]


def usual_of(
    design: str,
    facts: Iterable[Facts],
    bench: Bench,
    *,
    drop_outliers: bool = False,
    but: Facts | None = None,
) -> DesignUsual:
    """Learn what good boards of a design read; with `drop_outliers`, odd readings are left out, and named.

    `but` is a job that is to be compared with the others: neither it nor an earlier stay of its board counts.
    """
    jobs, left_out = good_jobs(design, facts)
    jobs = tuple(one for one in jobs if but is None or not same_board(one, but))
    gathered = readings_by_manner(jobs, bench.meters)
    rows = (usual(how, found, drop_outliers=drop_outliers) for how, found in gathered.items())
    return DesignUsual(design, tuple(_in_order(rows, bench.designs.get(design))), jobs, left_out)


def usual(how: Manner, found: Sequence[Good], *, drop_outliers: bool = False) -> Usual:
    """Reckon what is usual from the readings of one manner.

    Screening takes out what lies beyond a robust z of 3.5, once, on the scale of all readings; the scale of the rest is
    chosen anew.
    """
    still = [good for good in found if good.settled]
    closed = [good for good in still if not good.corrected.value.open]
    kept, odd = _without_outliers(closed) if drop_outliers else (closed, ())
    opened = tuple(good for good in still if good.corrected.value.open)
    described = _described(how, kept) if kept else Usual(how)
    return described._replace(
        open=opened,
        unsettled=tuple(good for good in found if not good.settled),
        outliers=odd,
        interval=None if opened else described.interval,
        range_confidence=_range_confidence(len(kept), len(opened)),
    )


def scale_of(values: Sequence[Decimal]) -> str:
    """Choose the scale: logarithms where all are above 0 and the highest is more than ten times the lowest."""
    lowest, highest = min(values), max(values)
    return "log" if lowest > 0 and highest > EXACT.scaleb(lowest, 1) else "linear"


def values_of(found: Iterable[Good]) -> list[Decimal]:
    """Give the values, leads taken off."""
    return [good.corrected.value.value for good in found]


def _described(how: Manner, kept: list[Good]) -> Usual:
    values = values_of(kept)
    scale, whole = scale_of(values), moments(values)
    logs = moments(map(ROOT.log10, values)) if scale == "log" else None
    interval = None
    if len(kept) >= FEWEST:
        interval = tolerance_interval(logs or whole, CONTENT, CONFIDENCE)
        if logs:
            low, high = (ROOT.power(Decimal(10), end) for end in (interval.low, interval.high))
            interval = interval._replace(low=low, high=high)
    return Usual(how, tuple(kept), scale=scale, moments=whole, logs=logs, interval=interval)


def _range_confidence(n: int, opened: int) -> float | None:
    if not n + opened:
        return None
    return range_confidence(n + opened, CONTENT, 1 if opened else 2)


def _without_outliers(closed: list[Good]) -> tuple[list[Good], tuple[Good, ...]]:
    """Part readings into those to reckon with and those that are odd."""
    if not closed:
        return [], ()
    values, floor = values_of(closed), least_difference([good.corrected for good in closed])
    if scale_of(values) == "log":
        # A step of the meter weighs most, as a share, in the lowest reading.
        floor = ROOT.log10(ROOT.divide(EXACT.add(min(values), floor), min(values)))
        values = list(map(ROOT.log10, values))
    odd = odd_ones(values, floor)
    kept = [good for place, good in enumerate(closed) if place not in odd]
    return kept, tuple(good for place, good in enumerate(closed) if place in odd)


def _in_order(rows: Iterable[Usual], design: Design | None) -> Iterator[Usual]:
    """Put rows in the order of the board file, with an empty one for each limit that nothing is known about yet."""
    rest = sorted(rows, key=lambda row: row.manner)
    for point in design.points if design else ():
        here = [row for row in rest if row.manner.point == point.name]
        for limit in point.limits:
            suited = [row for row in here if suits(limit, row.manner)]
            yield from suited
            here = [row for row in here if row not in suited]
            if not suited and limit.kind in KINDS:
                yield Usual(manner_of_limit(point, limit))
        yield from here
        rest = [row for row in rest if row.manner.point != point.name]
    yield from rest
