"""Which of several values that should agree is the odd one out."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from math import sqrt

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.distributions import bisect_root, student_above
from jobkit.reckon.statistics.moments import median_absolute_deviation, moments
from jobkit.reckon.statistics.quantile import median, numbers
from jobkit.units.exact import EXACT, ROOT

ODD = 3.5
"""Modified z beyond which a value is called odd (Iglewicz and Hoaglin)."""

_NORMAL = Decimal("0.6745")
"""MAD of a normal distribution over its sd, to the four digits of Iglewicz and Hoaglin."""

_NORMAL_MEAN = Decimal("1.253314")
"""The sd of a normal distribution over its mean absolute deviation, the square root of pi/2."""


class Grubbs(NamedTuple):
    """The place of the value furthest off, its statistic G, and the G that it may not exceed."""

    place: int
    statistic: float
    critical: float

    @property
    def odd(self) -> bool:
        """Tell whether it is an outlier."""
        return self.statistic > self.critical


def modified_z(values: Sequence[Decimal | int], step: Decimal = Decimal(0)) -> tuple[float, ...]:
    """Score each value by its distance from the median, in robust standard deviations; raises SampleError.

    0.6745 (x - median) / MAD. Source: Iglewicz and Hoaglin, How to detect and handle outliers (1993);
    NIST/SEMATECH e-Handbook 1.3.5.17. The robust deviation is never taken below `step`, the last digit of the
    meter, because a difference of one digit is none (our own caution, no source). Where more than half of the
    values are equal the MAD is 0; then `step` is the deviation, or without one the mean absolute deviation
    (times 1.253314; common practice, no source), by which a lone odd one shows from five values on. Values
    that are all equal score 0.

    >>> modified_z([10, 11, 12, 13, 30])[-1], modified_z([5, 5, 5])
    (12.141, (0.0, 0.0, 0.0))
    """
    sample = numbers(values)
    middle = median(sample)
    deviation = _robust_deviation(sample, middle, step)
    if not deviation:
        return (0.0,) * len(sample)
    return tuple(float(ROOT.divide(EXACT.subtract(value, middle), deviation)) for value in sample)


def odd_ones(values: Sequence[Decimal | int], step: Decimal = Decimal(0)) -> tuple[int, ...]:
    """Give the places of the values whose modified z is beyond 3.5 either way; raises SampleError."""
    return tuple(index for index, z in enumerate(modified_z(values, step)) if abs(z) > ODD)


def grubbs(values: Sequence[Decimal | int], alpha: float = 0.05, side: str = "both") -> Grubbs | None:
    """Test the value furthest from the mean, on `both` sides or the `high` or `low` one; raises SampleError.

    None below three values and for values that are all equal: nothing can be said of them. One outlier at a
    time: two can hide each other. Source: Grubbs, Procedures for detecting outlying observations,
    Technometrics 11 (1969), 1-21; NIST/SEMATECH e-Handbook 1.3.5.17.1.
    """
    sample = numbers(values)
    described = moments(sample)
    if described.n < 3 or not described.sd:
        return None
    sign = {"both": 0, "high": 1, "low": -1}[side]
    away = [EXACT.subtract(value, described.mean) for value in sample]
    distances = [EXACT.multiply(each, sign) if sign else each.copy_abs() for each in away]
    place = max(range(len(distances)), key=distances.__getitem__)
    statistic = float(ROOT.divide(distances[place], described.sd))
    return Grubbs(place, statistic, grubbs_critical(described.n, alpha, sides=1 if sign else 2))


@lru_cache(maxsize=256)
def grubbs_critical(n: int, alpha: float = 0.05, sides: int = 2) -> float:
    """Give the G that the furthest of n >= 3 normal values exceeds with probability alpha.

    Source: NIST/SEMATECH e-Handbook 1.3.5.17.1, from Student's t at alpha / (sides n) with n - 2 degrees of
    freedom.
    """
    t = bisect_root(lambda value: student_above(value, n - 2), alpha / (sides * n))
    return (n - 1) / sqrt(n) * sqrt(t * t / (n - 2 + t * t))


def _robust_deviation(sample: tuple[Decimal, ...], middle: Decimal, step: Decimal) -> Decimal:
    mad = median_absolute_deviation(sample)
    if mad or step:
        return max(ROOT.divide(mad, _NORMAL), step)
    distances = [EXACT.subtract(value, middle).copy_abs() for value in sample]
    return EXACT.multiply(moments(distances).mean, _NORMAL_MEAN)
