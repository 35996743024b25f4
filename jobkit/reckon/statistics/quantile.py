"""Quantiles of a sample, exact, with their type named: a figure without its type cannot be checked."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT

# Hyndman and Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996), 361-365:
# position of the quantile among the sorted values, counted from 0, is (n - 1) p for type 7 and (n + 1) p - 1
# for type 6.
_POSITION = {6: (1, -1), 7: (-1, 0)}

USUAL_TYPE = 7
"""The type of every quantile that jobkit shows: linear between the order statistics, the ends at 0 and 1."""


class SampleError(MisuseError):
    """A sample that cannot be reckoned with: empty, too small, or with an open reading among the numbers."""


def quantile(values: Iterable[Decimal | int], share: Decimal, of_type: int = USUAL_TYPE) -> Decimal:
    """Give the value below which a share (0 to 1) of the sample lies, in its unit, without rounding.

    Types 6 and 7 of Hyndman and Fan (1996). Raises SampleError for an empty sample, an open reading or a
    share outside 0 to 1.

    >>> quantile([1, 2, 3, 4], Decimal("0.9")), quantile([1, 2, 3, 4], Decimal("0.25"), of_type=6)
    (Decimal('3.7'), Decimal('1.25'))
    """
    ordered = sorted(numbers(values))
    if not 0 <= share <= 1:
        raise SampleError(f"there is no quantile at {share}", "ask for a share from 0 to 1")
    more, shift = _POSITION[of_type]
    position = EXACT.fma(Decimal(len(ordered) + more), share, Decimal(shift))
    position = min(max(position, Decimal(0)), Decimal(len(ordered) - 1))
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
