"""Times at which a clock or a frame rate fell well below what it usually was."""

from __future__ import annotations

from math import fsum
from statistics import median

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.series import Series, stretches

SHARE = 0.8
"""Below this share of the median a value is a dip. Our choice, no source."""


class Dips(NamedTuple):
    """How often a sensor dipped below `share` of its median: the count, the time in dips and the longest in seconds.

    `median` and `lowest` are in the unit of the sensor. A dip that one row shows lasts as long as rows are apart.
    """

    median: float
    share: float
    often: int
    seconds: float
    longest: float
    lowest: float


def dips_of(series: Series, interval: float, share: float = SHARE) -> Dips | None:
    """Find the dips of a sensor whose rows are `interval` seconds apart; None for no values."""
    if not len(series.values):
        return None
    middle = median(series.values)
    below = [value < share * middle for value in series.values]
    lasted = [series.times[last] - series.times[first] + interval for first, last in stretches(below)]
    return Dips(middle, share, len(lasted), fsum(lasted), max(lasted, default=0.0), min(series.values))
