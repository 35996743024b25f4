"""One sensor over time: plain numbers, gaps left out."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from math import fsum, gcd
from sys import float_info

from jobkit.named_tuple import NamedTuple
from jobkit.units.exact import EXACT

FEW_ENOUGH = 4000
"""Points up to this many are used one by one; longer series are averaged down to half as many before a fit."""

_LOOKED_AT = 1000


class Series(NamedTuple):
    """Values of one sensor in its unit, and the seconds at which they were taken, never falling."""

    times: Sequence[float]
    values: Sequence[float]

    def between(self, start: float, end: float) -> Series:
        """Keep what was taken from `start` to `end` seconds, both included."""
        first, last = bisect_left(self.times, start), bisect_right(self.times, end)
        return Series(self.times[first:last], self.values[first:last])

    @property
    def seconds(self) -> float:
        """The time from the first value to the last; 0 for none."""
        return self.times[-1] - self.times[0] if len(self.times) else 0.0


def mean(values: Sequence[float]) -> float:
    """Give the mean, from a sum that loses nothing; raises ZeroDivisionError for no values."""
    return fsum(values) / len(values)


def thinned(series: Series, most: int = FEW_ENOUGH) -> Series:
    """Average neighbours until no more than `most` points are left; shorter series stay as they are.

    Time and value of a block are its means. On a curve of time constant τ a block of width w is off by a share of
    (w/τ)²/24 of the rise that remains: below 1e-6 where a block is a two-hundredth of τ.
    """
    count = len(series.times)
    if count <= most:
        return series
    size = -(-count // (most // 2))
    starts = range(0, count, size)
    return Series(
        [mean(series.times[start : start + size]) for start in starts],
        [mean(series.values[start : start + size]) for start in starts],
    )


def display_step(values: Sequence[float]) -> float:
    """Tell the step in which values are shown: the largest that leads from each of them to all others.

    Values that are all alike tell no more than their last digit.

    >>> display_step([26.1, 32.2, 37.9]), display_step([60.0, 62.5, 65.0]), display_step([61.0, 61.0])
    (0.1, 2.5, 1.0)
    """
    looked_at = sorted(set(values[:: max(1, len(values) // _LOOKED_AT)]))
    whole = len(str(int(max(map(abs, looked_at), default=0))))
    # As many as leave the values below the largest float.
    most = max(0, float_info.max_10_exp - whole)
    places = min(max(map(_places, looked_at), default=0), most)
    digits = [round(value * 10**places) for value in looked_at]
    common = gcd(*(later - earlier for earlier, later in pairwise(digits))) or 1
    return float(common / 10**places)


def exactly(value: float, digits: int = 10) -> Decimal:
    """Give a float as the decimal number that was meant: to `digits` significant digits, no binary remainder.

    >>> exactly(0.1 + 0.2)
    Decimal('0.3')
    """
    rounded = Decimal(f"{value:.{digits}g}")
    return EXACT.plus(rounded.normalize() if rounded else Decimal(0))


def stretches(holds: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Yield the first and last row of each unbroken stretch for which something holds.

    >>> list(stretches([True, True, False, True]))
    [(0, 1), (3, 3)]
    """
    start: int | None = None
    for row, held in enumerate(holds):
        if held and start is None:
            start = row
        elif not held and start is not None:
            yield start, row - 1
            start = None
    if start is not None:
        yield start, len(holds) - 1


def _places(value: float) -> int:
    """Count the digits after the point of a number as it is written."""
    written = repr(float(value))
    _, point, decimals = written.partition(".")
    if point and decimals.isdigit():
        return 0 if decimals == "0" else len(decimals)
    return 0 if float(value).is_integer() else max(0, -int(Decimal(written).as_tuple().exponent))
