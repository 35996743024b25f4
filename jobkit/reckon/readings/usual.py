"""What good boards of a design read, point by point and manner by manner, and how much that says of other boards.

For each manner: number, mean, standard deviation, median and range; from four boards on the exact normal tolerance
interval, and a one-sided tolerance limit where the board file's limit has one side; for any number what order
statistics alone allow to say. Interval and limit are calculated on logarithms where the highest reading is more than
ten times the lowest, and where a quantity cannot be negative and the interval would reach below a tenth of the lowest
reading. Answers to odd samples:

- open readings are not numbers: they are counted beside the rest, there is no interval while there are any, and the
  confidence is that of "the lowest reading and up, open included";
- readings that are all alike give an interval without width: true of the formula, but not of a meter;
- readings that were unsettled are told, and not counted;
- where outliers were dropped no confidence is given: what is left looks less spread than boards are.

Readings of several meters are pooled, each with its leads taken off.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.facts import Facts
from jobkit.jobs.manner import Manner
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.good_boards import Good, LeftOut, good_jobs, readings_by_manner, same_board
from jobkit.reckon.readings.limits import manner_of_limit, suits
from jobkit.reckon.readings.meters import same_display
from jobkit.reckon.readings.odd_one_out import least_difference
from jobkit.reckon.statistics.moments import SampleStatistics, moments
from jobkit.reckon.statistics.outliers import odd_ones
from jobkit.reckon.statistics.tolerance import (
    ToleranceBound,
    ToleranceInterval,
    range_confidence,
    tolerance_bound,
    tolerance_interval,
)
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.kinds import KINDS, NEVER_NEGATIVE
from jobkit.units.limit import Limit

CONTENT = CONFIDENCE = Decimal("0.95")
FEWEST = 4
"""Boards from which on an interval is given."""

SMALLEST_SHARE = Decimal("0.1")
"""No lower limit of a quantity that cannot be negative is below this share of the lowest good reading (no source)."""


class Usual(NamedTuple):
    """What good boards read in one manner; all figures in the base unit.

    `readings` are those counted, `open`, `unsettled` and `outliers` those that are not. `moments` are of the readings
    as they are; `logs`, of their decimal logarithms, only where `scale` is "log". `bound` is the one-sided tolerance
    limit where the board file's limit has one side. `range_confidence` is that of the range seen, of both its ends or,
    with open readings, of the lower one; None where outliers were looked for: the range then depends on the screen.
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
    bound: ToleranceBound | None = None
    range_confidence: float | None = None

    @property
    def unit(self) -> str:
        """The base unit of the kind."""
        return KINDS[self.manner.kind].unit

    @property
    def n(self) -> int:
        """How many readings are used."""
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
    known = bench.designs.get(design)
    rows = (
        usual(how, found, side=side_of(how, known), drop_outliers=drop_outliers)
        for how, found in gathered.items()
    )
    return DesignUsual(design, tuple(_in_order(rows, known)), jobs, left_out)


def side_of(how: Manner, design: Design | None) -> str:
    """Tell on which side a reading is limited: "low" or "high" for a limit with one end, "" for both.

    Ripple has no lower limit of its own; all else is limited on both sides unless the board file says otherwise.
    """
    limits = design.limits(how.point, how.kind) if design else ()
    limit = next((one.limit for one in limits if one.limit and suits(one, how)), None)
    if limit is None:
        return "high" if how.kind == "ripple" else ""
    return _side(limit)


def _side(limit: Limit) -> str:
    if limit.open or (limit.low is None) == (limit.high is None):
        return ""
    return "high" if limit.low is None else "low"


def usual(how: Manner, found: Sequence[Good], *, side: str = "", drop_outliers: bool = False) -> Usual:
    """Calculate what is usual from the readings of one manner, with a one-sided limit too where a `side` is named.

    Dropping outliers takes out what is beyond a robust z of 3.5, once, on the scale of all readings; the scale of the
    rest is chosen again.
    """
    still = [good for good in found if good.settled]
    closed = [good for good in still if not good.corrected.value.open]
    kept, odd = _without_outliers(closed) if drop_outliers else (closed, ())
    opened = tuple(good for good in still if good.corrected.value.open)
    described = _described(how, kept, side) if kept else Usual(how)
    if opened:
        described = described._replace(interval=None, bound=None)
    if odd:
        described = _without_confidence(described)
    return described._replace(
        open=opened,
        unsettled=tuple(good for good in found if not good.settled),
        outliers=odd,
        range_confidence=None if drop_outliers else _range_confidence(len(kept), len(opened)),
    )


def _without_confidence(row: Usual) -> Usual:
    return row._replace(
        interval=row.interval and row.interval._replace(confidence=None),
        bound=row.bound and row.bound._replace(confidence=None),
    )


def scale_of(values: Sequence[Decimal]) -> str:
    """Choose the scale by the range: logarithms where all are above 0, the highest more than ten times the lowest."""
    lowest, highest = min(values), max(values)
    return "log" if lowest > 0 and highest > EXACT.scaleb(lowest, 1) else "linear"


def values_of(found: Iterable[Good]) -> list[Decimal]:
    """Give the values, leads taken off."""
    return [good.corrected.value.value for good in found]


def _described(how: Manner, kept: list[Good], side: str) -> Usual:
    values = values_of(kept)
    whole = moments(values)
    row = Usual(how, tuple(kept), moments=whole)
    linear = tolerance_interval(whole, CONTENT, CONFIDENCE) if len(kept) >= FEWEST else None
    if scale_of(values) == "log" or (linear and _reaches_too_low(how, whole, linear)):
        return _on_logarithms(row, values, side)
    bound = tolerance_bound(whole, side, CONTENT, CONFIDENCE) if linear and side else None
    return row._replace(interval=linear, bound=bound)


def _reaches_too_low(how: Manner, whole: SampleStatistics, linear: ToleranceInterval) -> bool:
    """Tell whether the interval takes in what the quantity cannot be, or a short; logarithms are there to help then."""
    floor = EXACT.multiply(SMALLEST_SHARE, whole.lowest)
    return how.kind in NEVER_NEGATIVE and whole.lowest > 0 and linear.low < floor


def _on_logarithms(row: Usual, values: list[Decimal], side: str) -> Usual:
    logs = moments(map(ROOT.log10, values))
    row = row._replace(scale="log", logs=logs)
    if len(values) < FEWEST:
        return row
    found = tolerance_interval(logs, CONTENT, CONFIDENCE)
    bound = tolerance_bound(logs, side, CONTENT, CONFIDENCE) if side else None
    return row._replace(
        interval=found._replace(low=_power(found.low), high=_power(found.high)),
        bound=bound and bound._replace(value=_power(bound.value)),
    )


def _power(logarithm: Decimal) -> Decimal:
    return ROOT.power(Decimal(10), logarithm)


def _range_confidence(n: int, opened: int) -> float | None:
    if not n + opened:
        return None
    return range_confidence(n + opened, CONTENT, 1 if opened else 2)


def _without_outliers(closed: list[Good]) -> tuple[list[Good], tuple[Good, ...]]:
    """Separate the readings to count from those that are odd."""
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
