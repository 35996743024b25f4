"""A straight line through values that follow each other, with an uncertainty that allows for their likeness.

A temperature that is 0.2 °C above the line now is likely still above it at the next row. Such values carry less than
they seem to, so the uncertainty of the slope is that of fewer, independent ones: n' = n (1 - r) / (1 + r), where r is
the correlation of each residual with the next. Source: Santer and others, Statistical significance of trends and
trend differences in layer-average atmospheric temperature time series, Journal of Geophysical Research 105 (2000),
7337-7356, equations 3 to 6 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import fsum, sqrt

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.distributions import bisect_root, student_above
from jobkit.reckon.statistics.series import Series, display_step, mean, thinned

_BEYOND = 0.025
"""Beyond each end of a two-sided interval of 95 %."""

_ROUNDING = 1 - sqrt(0.05)
"""A display that never moved may hide a drift of one step at most, small ones likelier than large: a triangular
distribution (JCGM 100:2008, 4.3.9), whose 95 % end is at 0.776 of its half-width."""

_MANY = 200
"""Above so many degrees of freedom Student's factor is the normal one to less than 1 %."""


class FittedLine(NamedTuple):
    """A line through a series: its mean, slope a second, and their uncertainties; all in the unit of the series.

    `slope_95` is the half-width of the 95 % interval of the slope, `mean_u` the standard uncertainty of the mean, `sd`
    the standard deviation of the values around the line, `independent` how many independent values there are.
    """

    mean: float
    slope: float
    slope_95: float
    mean_u: float
    sd: float
    independent: float


def fit_line(series: Series) -> FittedLine | None:
    """Fit a line by least squares; None for fewer than three values or for values all taken at once."""
    points = thinned(series)
    count = len(points.times)
    if count < 3 or points.times[0] == points.times[-1]:
        return None
    middle, level = mean(points.times), mean(points.values)
    across = [time - middle for time in points.times]
    spread = fsum(one * one for one in across)
    slope = fsum(one * (value - level) for one, value in zip(across, points.values, strict=True)) / spread
    residuals = [value - level - slope * one for one, value in zip(across, points.values, strict=True)]
    sd = sqrt(fsum(one * one for one in residuals) / (count - 2))
    independent = independent_of(residuals)
    half_width = slope_half_width(sd, spread, count, independent)
    step = display_step(series.values)
    if sd < step / 2:  # readings that hardly move: what the display rounds away does not average out
        half_width = sqrt(half_width**2 + (_ROUNDING * step / series.seconds) ** 2)
    return FittedLine(level, slope, half_width, sd / sqrt(independent), sd, independent)


def independent_of(residuals: Sequence[float]) -> float:
    """Tell how many independent values a sequence of residuals is worth; between 1 and their number."""
    count = len(residuals)
    squares = fsum(one * one for one in residuals)
    if not squares:
        return float(count)
    products = fsum(one * two for one, two in pairwise(residuals))
    likeness = min(max(products / squares, 0.0), 1.0)
    return max(1.0, count * (1 - likeness) / (1 + likeness))


def slope_half_width(sd: float, spread: float, count: int, independent: float) -> float:
    """Give half the 95 % interval of a slope; `spread` is the sum of squares of the times around their mean."""
    degrees = max(
        1.0, independent - 2
    )  # with less than one the interval is wide enough to say that it is not known
    return student_95(degrees) * sd * sqrt((count - 2) / degrees / spread)


def student_95(degrees: float) -> float:
    """Give the two-sided 95 % factor of Student's distribution; degrees of freedom are rounded down.

    >>> round(student_95(10), 4)
    2.2281
    """
    return _student_95(min(int(degrees), _MANY))


@lru_cache(maxsize=_MANY)
def _student_95(degrees: int) -> float:
    return bisect_root(lambda t: student_above(t, degrees), _BEYOND)
