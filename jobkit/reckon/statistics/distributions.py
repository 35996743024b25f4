"""Tails of the gamma and the Student distribution, and where they come down to a level.

Own code, because the library for it weighs 200 MB and takes a second to import, more than all the rest of
jobkit. It is kept small by two facts: degrees of freedom are whole numbers here, and a trapezoid rule over a
smooth function that dies away on both sides is exact to machine precision (Trefethen and Weideman, The
exponentially convergent trapezoidal rule, SIAM Review 56 (2014), 385-458). The tests hold it to that library
within 1e-8.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import atan2, cos, erfc, exp, fsum, lgamma, log, pi, sin, sqrt

# What no longer counts beside the sum, as a share of it, and as a logarithm with room to spare.
_NOTHING = 1e-18
_DEAD = 45.0
_CLOSE = 1e-15


def normal_above(z: float) -> float:
    """Give the probability that a standard normal value is above z."""
    return erfc(z / sqrt(2)) / 2


def chi_square_above(x: float, degrees: int) -> float:
    """Give the probability that a chi-square value with whole degrees of freedom is above x."""
    return gamma_above(degrees / 2, x / 2)


def gamma_above(shape: float, x: float) -> float:
    """Give the probability that a gamma value of scale 1 is above x, for a shape in whole halves.

    The regularised incomplete gamma function Q(a, x). Source: NIST Digital Library of Mathematical Functions,
    8.4.4 and 8.4.6 (where the recurrence begins), 8.8.6 (downwards, while the terms fall) and 8.7.1 with
    8.8.5 (upwards).
    """
    if x <= 0:
        return 1.0
    if x < shape:
        return 1.0 - _rising_powers(shape, x)
    return (erfc(sqrt(x)) if shape % 1 else 0.0) + _falling_terms(shape - 1, x)


def student_above(t: float, degrees: int) -> float:
    """Give the probability that a Student value with whole degrees of freedom is above t, to 1e-15.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (from memory): a sum of
    half as many terms as there are degrees of freedom.
    """
    angle = atan2(t, sqrt(degrees))
    term, total = (cos(angle), 0.0) if degrees % 2 else (1.0, 0.0)
    for power in range(2 + degrees % 2, degrees + 1, 2):
        total += term
        term *= cos(angle) ** 2 * (power - 1) / power
    within = sin(angle) * total
    return (1 - (2 * (angle + within) / pi if degrees % 2 else within)) / 2


def student_upper_tail(t: float, degrees: int, shift: float = 0.0) -> float:
    """Give the probability that a Student value, noncentral with a `shift`, is above t.

    From the definition: T = (Z + shift) / S with Z normal and degrees * S² chi-square, so P(T > t) is the
    mean of P(Z > t s - shift) over the distribution of S (Johnson, Kotz and Balakrishnan, Continuous
    Univariate Distributions 2, 2nd ed. 1995, chapter 31).
    """
    return fsum(weight * normal_above(t * s - shift) for s, weight in _spread(degrees, shift))


def bisect_root(falling: Callable[[float], float], level: float) -> float:
    """Find the x >= 0 where a falling function comes down to a level, to fifteen digits.

    False position, Illinois variant: an end that stays put twice counts half, so that both ends close in (Dowell and
    Jarratt, A modified regula falsi method for computing the root of an equation, BIT 11 (1971), 168-174).
    """
    low, high = 0.0, 1.0
    while (above := falling(high) - level) > 0:
        low, high = high, 2 * high
    excess, stayed = falling(low) - level, ""
    while high - low > _CLOSE * high:
        middle = (low * above - high * excess) / (above - excess)
        if not low < middle < high:
            middle = (low + high) / 2
        found = falling(middle) - level
        if found > 0:
            low, excess = middle, found
            above, stayed = above / 2 if stayed == "high" else above, "high"
        else:
            high, above = middle, found
            excess, stayed = excess / 2 if stayed == "low" else excess, "low"
    return high


@lru_cache(maxsize=64)
def _spread(degrees: int, shift: float) -> tuple[tuple[float, float], ...]:
    """Give values of S and their weights, degrees * S² being chi-square: a trapezoid rule in log S."""
    scale = _DEAD / degrees
    # Fine against the width of the density of log S and against that of the normal tail, one over the shift.
    step = 0.125 / sqrt(max(degrees, shift * shift / 16))
    first, last = -(scale + sqrt(scale)), sqrt(scale)
    peak = log(2 * step) + degrees / 2 * log(degrees / 2) - lgamma(degrees / 2)
    logs = [first + step * count for count in range(int((last - first) / step) + 1)]
    return tuple((exp(u), exp(peak + degrees * (u - exp(2 * u) / 2))) for u in logs)


def _falling_terms(power: float, x: float) -> float:
    term, total = _term(power, x), 0.0
    while power >= 0 and term > _NOTHING * total:
        total += term
        term *= power / x
        power -= 1
    return total


def _rising_powers(power: float, x: float) -> float:
    term, total = _term(power, x), 0.0
    while term > _NOTHING * total:
        total += term
        power += 1
        term *= x / power
    return total


def _term(power: float, x: float) -> float:
    return exp(power * log(x) - x - lgamma(power + 1))
