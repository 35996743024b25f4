"""Mean, spread, median and ends of a sample, from exact sums, however large the mean."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from decimal import Decimal
from functools import reduce

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.quantile import SampleError, median, numbers
from jobkit.units.exact import EXACT, ROOT

__all__ = ["SampleError", "SampleStatistics", "median_absolute_deviation", "moments"]


class SampleStatistics(NamedTuple):
    """What a sample looks like, in the unit of its values; `sd` is None for a single value."""

    n: int
    mean: Decimal
    sd: Decimal | None
    median: Decimal
    lowest: Decimal
    highest: Decimal


def moments(values: Iterable[Decimal | int]) -> SampleStatistics:
    """Describe a sample; mean and sd to 28 digits from exact sums, the rest exact.

    The sd is that of a sample, with n - 1 (NIST/SEMATECH e-Handbook 1.3.5.6). Sums of squares in binary
    floats lose every digit where the mean is large against the spread (NIST StRD, NumAcc3); exact ones lose
    none. Raises SampleError for an empty sample and for an open reading.

    >>> moments([1, 2, 3, 4]).mean, moments([2, 4]).sd, moments([5]).sd
    (Decimal('2.5'), Decimal('1.414213562373095048801688724'), None)
    """
    sample = numbers(values)
    mean = ROOT.divide(_sum(sample), Decimal(len(sample)))
    return SampleStatistics(len(sample), mean, _sd(sample), median(sample), min(sample), max(sample))


def median_absolute_deviation(values: Iterable[Decimal | int]) -> Decimal:
    """Give the median absolute deviation from the median (MAD), exact and unscaled; raises SampleError.

    Source: NIST/SEMATECH e-Handbook 1.3.5.6.

    >>> median_absolute_deviation([1, 1, 2, 2, 4, 6, 9])
    Decimal('1.00')
    """
    sample = numbers(values)
    middle = median(sample)
    return median(EXACT.subtract(value, middle).copy_abs() for value in sample)


def _sd(sample: tuple[Decimal, ...]) -> Decimal | None:
    n = len(sample)
    if n < 2:
        return None
    square = {id(value): EXACT.multiply(value, value) for value in sample}
    squares = _sum([square[id(value)] for value in sample])
    whole = _sum(sample)
    # n Σx² − (Σx)² is n (n − 1) times the variance, and ends; only the quotient and the root are rounded.
    spread = EXACT.subtract(EXACT.multiply(Decimal(n), squares), EXACT.multiply(whole, whole))
    return ROOT.sqrt(ROOT.divide(spread, Decimal(n * (n - 1))))


def _sum(sample: Sequence[Decimal]) -> Decimal:
    """Add up exactly; what is there many times is added once. Equal values may have other digits: 1.0 and 1.00."""
    counts = Counter(map(id, sample))
    values = {id(value): value for value in sample}
    parts = (EXACT.multiply(values[at], Decimal(count)) for at, count in counts.items())
    return reduce(EXACT.add, parts, Decimal(0))
