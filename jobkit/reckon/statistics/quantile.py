"""Quantiles of a sample, exact, with their type named: a figure without its type cannot be checked."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT

USUAL_TYPE = 7
"""The type of every quantile that jobkit shows, by the numbers of Hyndman and Fan."""


class SampleError(MisuseError):
    """A sample that nothing can be calculated from: empty, too small, or with an open reading among the numbers."""


def quantile(values: Iterable[Decimal | int], share: Decimal) -> Decimal:
    """Give the value below which a share (0 to 1) of the sample is, in its unit, without rounding.

    Type 7 of Hyndman and Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996), 361-365:
    linear between the order statistics, the ends at 0 and 1, so at place (n - 1) share among the sorted values, counted
    from 0. Raises SampleError for an empty sample, an open reading or a share outside 0 to 1.

    >>> quantile([1, 2, 3, 4], Decimal("0.9"))
    Decimal('3.7')
    """
    ordered = sorted(numbers(values))
    if not 0 <= share <= 1:
        raise SampleError(f"there is no quantile at {share}", "ask for a share from 0 to 1")
    position = EXACT.multiply(Decimal(len(ordered) - 1), share)
    below = int(position)
    above = min(below + 1, len(ordered) - 1)
    gap = EXACT.subtract(ordered[above], ordered[below])
    return EXACT.fma(EXACT.subtract(position, Decimal(below)), gap, ordered[below])


def median(values: Iterable[Decimal | int]) -> Decimal:
    """Give the middle value, or the mean of the two middle ones; raises SampleError as `quantile` does."""
    return quantile(values, Decimal("0.5"))


def numbers(values: Iterable[Decimal | int]) -> tuple[Decimal, ...]:
    """Take the values of a sample; raises SampleError for none at all and for an open reading among them."""
    sample = tuple(map(Decimal, values))
    if not sample:
        raise SampleError("there are no values", "take some first")
    if not all(value.is_finite() for value in sample):
        raise SampleError("an open reading is not a number", "leave it out and say how many were open")
    return sample
