"""How sure the mean of several readings of one point is: their spread combined with what the meter's data sheet says.

The probes are lifted between the readings, so that contact and pressure vary; what the meter does wrong is the same in
all of them, and stays. The steps, with their source:

1. Type A: the standard uncertainty of the mean of n readings is s / √n, with n - 1 degrees of freedom (JCGM 100:2008,
   4.2.2 and 4.2.3).
2. Combined with the meter's, type B, by root sum of squares (JCGM 100:2008, 5.1.2).
3. A few readings tell little of their spread: the effective degrees of freedom are u⁴ / (u_A⁴ / (n - 1)), the meter's
   part being taken as known (Welch-Satterthwaite, JCGM 100:2008, G.4.1), cut down to a whole number.
4. The coverage factor is that of Student's t for them, at the level of confidence that the bench's k has for a normal
   distribution (JCGM 100:2008, G.3.4 and table G.2).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.distributions import bisect_root, normal_above, student_above
from jobkit.reckon.statistics.moments import moments
from jobkit.units.accuracy import root_sum_of_squares
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.quantity import Quantity
from jobkit.units.written import show

_AS_GOOD_AS_NORMAL = 10_000
"""Degrees of freedom from which Student's factor is the normal one, to the two places it is given to."""


class Expanded(NamedTuple):
    """An expanded uncertainty, and the coverage factor that made it."""

    uncertainty: Quantity
    k: Decimal


def type_a(values: Sequence[Quantity]) -> Decimal:
    """Give the standard uncertainty of the mean of at least two readings, in their unit: s / √n."""
    sample = moments(value.value for value in values)
    assert sample.sd is not None
    return ROOT.divide(sample.sd, ROOT.sqrt(Decimal(sample.n)))


def expanded_uncertainty(values: Sequence[Quantity], of_meter: Decimal, k: Decimal) -> Expanded:
    """Combine the spread of readings with the meter's standard uncertainty of one of them, and expand it."""
    spread = type_a(values)
    combined = root_sum_of_squares((spread, of_meter))
    factor = coverage_factor(effective_degrees(spread, combined, len(values)), k)
    expanded = EXACT.multiply(factor, combined)
    return Expanded(Quantity(expanded, values[0].unit, show(expanded, values[0].unit, 2)), factor)


def effective_degrees(spread: Decimal, combined: Decimal, n: int) -> int | None:
    """Give the effective degrees of freedom of a combined uncertainty; None where they are as good as without end."""
    if not spread:
        return None
    share = ROOT.divide(combined, spread)
    degrees = int(ROOT.multiply(Decimal(n - 1), ROOT.power(share, Decimal(4))))
    return degrees if degrees < _AS_GOOD_AS_NORMAL else None


@lru_cache(maxsize=256)
def coverage_factor(degrees: int | None, k: Decimal) -> Decimal:
    """Give Student's factor, to two places, for the level of confidence that k has for a normal distribution.

    >>> coverage_factor(4, Decimal(2)), coverage_factor(None, Decimal(2))
    (Decimal('2.87'), Decimal('2'))
    """
    if degrees is None:
        return k
    tail = normal_above(float(k))
    return Decimal(f"{bisect_root(lambda t: student_above(t, degrees), tail):.2f}")
