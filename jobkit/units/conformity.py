"""How likely a measured value conforms, and whether the meter is fine enough for the limit."""

from decimal import Decimal
from math import erfc, sqrt

from jobkit.units.exact import EXACT, ROOT
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity


def conformance_probability(value: Quantity, limit: Limit, standard: Quantity) -> float:
    """Give the probability that the true value is within a limit (JCGM 106:2012, clause 7.2 to 7.4).

    The true value is taken as normal around the measured one with the `standard` uncertainty u (not the
    expanded one). Without uncertainty, and for open readings and limits, the answer is 0 or 1. All in one base
    unit.

    >>> from jobkit.units.quantity import parse_quantity
    >>> from jobkit.units.limit import parse_limit
    >>> value, standard = parse_quantity("13.6 V"), parse_quantity("1.8 V")
    >>> round(conformance_probability(value, parse_limit("12.5 .. 16.3 V"), standard), 3)
    0.663
    """
    if limit.open or value.open:
        return float(value.open and limit.high is None)
    if limit.empty:
        return 0.0
    below = _tail(value.value, limit.low, standard.value, Decimal(-1))
    above = _tail(value.value, limit.high, standard.value, Decimal(1))
    return max(0.0, 1.0 - below - above)


def share_of_tolerance(limit: Limit, expanded: Quantity) -> Decimal | None:
    """Give the expanded uncertainty as a share of the distance between a limit's ends; None without two ends.

    With k = 2 it is half the inverse of the measurement capability index T/(4u) of JCGM 106:2012, 7.6.3.
    Infinite for a limit without width.

    >>> from jobkit.units.quantity import parse_quantity
    >>> from jobkit.units.limit import parse_limit
    >>> share_of_tolerance(parse_limit("12 V ± 0.5 V"), parse_quantity("0.25 V"))
    Decimal('0.25')
    """
    if limit.low is None or limit.high is None:
        return None
    width = EXACT.subtract(limit.high.value, limit.low.value)
    return ROOT.divide(expanded.value, width) if width > 0 else Decimal("Infinity")


def _tail(value: Decimal, limit: Quantity | None, standard: Decimal, side: Decimal) -> float:
    """Give the probability beyond a limit, above it (side 1) or below it (side −1)."""
    if limit is None:
        return 0.0
    margin = EXACT.multiply(side, EXACT.subtract(limit.value, value))
    if not standard:
        return float(margin < 0)
    return 0.5 * erfc(float(ROOT.divide(margin, standard)) / sqrt(2.0))
