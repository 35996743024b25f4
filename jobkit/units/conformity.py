"""How likely a measured value conforms, and whether the meter is fine enough for the limit."""

from decimal import Decimal
from math import erfc, sqrt

from jobkit.units.exact import EXACT, ROOT
from jobkit.units.quantity import Quantity
from jobkit.units.want import Want


def conformance_probability(value: Quantity, want: Want, standard: Quantity) -> float:
    """Give the probability that the true value is within a want (JCGM 106:2012, clause 7.2 to 7.4).

    The true value is taken as normal around the measured one with the `standard` uncertainty u (not the
    expanded one). Without uncertainty, and for open readings and wants, the answer is 0 or 1. All in one base
    unit.

    >>> from jobkit.units.quantity import parse_quantity
    >>> from jobkit.units.want import parse_want
    >>> value, standard = parse_quantity("13.6 V"), parse_quantity("1.8 V")
    >>> round(conformance_probability(value, parse_want("12.5 .. 16.3 V"), standard), 3)
    0.663
    """
    if want.open or value.open:
        return float(value.open and want.high is None)
    if want.empty:
        return 0.0
    below = _tail(value.value, want.low, standard.value, Decimal(-1))
    above = _tail(value.value, want.high, standard.value, Decimal(1))
    return max(0.0, 1.0 - below - above)


def share_of_tolerance(want: Want, expanded: Quantity) -> Decimal | None:
    """Give the expanded uncertainty as a share of the distance between a want's ends; None without two ends.

    With k = 2 it is half the inverse of the measurement capability index T/(4u) of JCGM 106:2012, 7.6.3.
    Infinite for a want without width.

    >>> from jobkit.units.quantity import parse_quantity
    >>> from jobkit.units.want import parse_want
    >>> share_of_tolerance(parse_want("12 V ± 0.5 V"), parse_quantity("0.25 V"))
    Decimal('0.25')
    """
    if want.low is None or want.high is None:
        return None
    width = EXACT.subtract(want.high.value, want.low.value)
    return ROOT.divide(expanded.value, width) if width > 0 else Decimal("Infinity")


def _tail(value: Decimal, limit: Quantity | None, standard: Decimal, side: Decimal) -> float:
    """Give the probability beyond a limit, above it (side 1) or below it (side −1)."""
    if limit is None:
        return 0.0
    margin = EXACT.multiply(side, EXACT.subtract(limit.value, value))
    if not standard:
        return float(margin < 0)
    return 0.5 * erfc(float(ROOT.divide(margin, standard)) / sqrt(2.0))
