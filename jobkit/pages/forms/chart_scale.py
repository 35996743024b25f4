"""Where values come on a drawing: scales, ticks, the thinning of long courses; lengths are in its own units."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import floor, log10

from jobkit.named_tuple import NamedTuple

_DECADE = 10
"""From this ratio on between the largest and the smallest value a scale is logarithmic. Our choice, no source."""
_WIDEST = 1e30
_MARGIN = 0.08
WIDTH, EDGE = 320, 8
"""How wide a drawing is, and the margin at its right."""


class Placed(NamedTuple):
    """A word and where it comes, and which of its ends is there."""

    x: float
    text: str
    anchor: str


class Axis(NamedTuple):
    """A scale from `low` to `high`, drawn from `start` to `end`; `low` is positive where it is logarithmic."""

    low: float
    high: float
    start: float
    end: float
    logarithmic: bool = False

    def place(self, value: float) -> float:
        """Return where a value comes, no farther out than the ends of the drawing.

        >>> Axis(0, 10, 100, 200).place(5), Axis(1, 100, 0, 200, True).place(10), Axis(0, 10, 100, 200).place(99)
        (150.0, 100.0, 200.0)
        """
        low, high, at = self.low, self.high, value
        if self.logarithmic:
            low, high, at = log10(low), log10(high), log10(max(value, self.low))
        share = min(max((at - low) / (high - low), 0.0), 1.0)
        return round(self.start + share * (self.end - self.start), 1)


def axis_for(values: Sequence[float], start: float, end: float, *, may_be_log: bool = False) -> Axis:
    """Choose a scale on which all values have room; raises ValueError for none.

    >>> axis_for([0.4, 200.0], 0, 100, may_be_log=True).logarithmic, axis_for([3.0], 0, 100)
    (True, Axis(low=2.7, high=3.3, start=0, end=100, logarithmic=False))
    """
    low, high = min(values), max(values)
    if may_be_log and low > 0 and _DECADE <= high / low <= _WIDEST:
        room = (high / low) ** _MARGIN
        return Axis(low / room, high * room, start, end, logarithmic=True)
    room = (high - low) * _MARGIN or abs(high) * 0.1 or 1.0
    return Axis(low - room, high + room, start, end)


def ticks(low: float, high: float, most: int = 4) -> tuple[float, ...]:
    """Return round values between two ends: multiples of 1, 2 or 5 times a power of ten.

    >>> ticks(32.1, 95.0), ticks(0.0, 30.0), ticks(0.0, 0.0)
    ((40.0, 60.0, 80.0), (0.0, 10.0, 20.0, 30.0), ())
    """
    if not high > low:
        return ()
    rough = (high - low) / most
    power = 10.0 ** floor(log10(rough))
    step = next(each * power for each in (1, 2, 5, 10) if each * power >= rough * (1 - 1e-9))
    first = -floor(-low / step + 1e-9)
    return tuple(round(number * step, 12) for number in range(first, floor(high / step + 1e-9) + 1))


def thinned_points(points: Sequence[tuple[float, float]], parts: int) -> Sequence[tuple[float, float]]:
    """Keep of each part of a long course its lowest and its highest point, so that no peak is lost.

    >>> thinned_points([(0, 1), (1, 9), (2, 3), (3, 4), (4, 0), (5, 2)], 2)
    [(0, 1), (1, 9), (3, 4), (4, 0)]
    """
    if len(points) <= 2 * parts:
        return points
    return [point for part in _parts(points, parts) for point in _ends(part)]


def _parts(points: Sequence[tuple[float, float]], parts: int) -> Iterator[Sequence[tuple[float, float]]]:
    size = -(-len(points) // parts)
    return (points[start : start + size] for start in range(0, len(points), size))


def _ends(part: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    lowest, highest = min(part, key=lambda point: point[1]), max(part, key=lambda point: point[1])
    return sorted({lowest, highest})
