"""How much of all boards a sample speaks for: tolerance intervals, normal and without any assumption."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import erfc, exp, fsum, pi, sqrt

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.distributions import bisect_root, chi_square_above, student_upper_tail
from jobkit.reckon.statistics.moments import SampleStatistics
from jobkit.reckon.statistics.quantile import SampleError
from jobkit.units.exact import ROOT

# Trapezoid rule over the standard normal density, beyond 9 standard deviations of which no digit is left. With half the
# step the factor moves by less than 3e-10 of itself, whatever the size and the shares (tried from 2 to 5000).
_STEP, _REACH = 0.25, 9.0


class ToleranceInterval(NamedTuple):
    """Limits, in the unit of the sample, that hold `content` of all boards with `confidence`.

    `confidence` is None where none can be given, as after outliers were dropped.
    """

    low: Decimal
    high: Decimal
    content: Decimal
    confidence: Decimal | None
    factor: float


class ToleranceBound(NamedTuple):
    """A limit on one side, in the unit of the sample: `content` of all boards are on its inner side.

    `side` is "low" for a lower limit and "high" for an upper one; the rest as for the interval.
    """

    side: str
    value: Decimal
    content: Decimal
    confidence: Decimal | None
    factor: float


def tolerance_interval(sample: SampleStatistics, content: Decimal, confidence: Decimal) -> ToleranceInterval:
    """Give mean ± factor * sd, the two-sided limits for normal values; raises SampleError below two.

    Values that are all equal give limits equal to them: true of the formula, of no meter; say so beside it.
    """
    sd = _spread(sample)
    factor = two_sided_factor(sample.n, content, confidence)
    reach = ROOT.multiply(Decimal(factor), sd)
    low, high = ROOT.subtract(sample.mean, reach), ROOT.add(sample.mean, reach)
    return ToleranceInterval(low, high, content, confidence, factor)


def tolerance_bound(
    sample: SampleStatistics, side: str, content: Decimal, confidence: Decimal
) -> ToleranceBound:
    """Give mean - factor * sd (side "low") or mean + factor * sd ("high") for normal values; raises SampleError."""
    sd = _spread(sample)
    factor = one_sided_factor(sample.n, content, confidence)
    reach = ROOT.multiply(Decimal(factor), sd)
    value = ROOT.subtract(sample.mean, reach) if side == "low" else ROOT.add(sample.mean, reach)
    return ToleranceBound(side, value, content, confidence, factor)


def _spread(sample: SampleStatistics) -> Decimal:
    if sample.sd is None:
        raise SampleError("one value has no spread", "take at least two")
    return sample.sd


@lru_cache(maxsize=256)
def two_sided_factor(n: int, content: Decimal, confidence: Decimal) -> float:
    """Give the exact k of mean ± k sd for a normal sample of n, not Howe's approximation; raises SampleError.

    Seen from the true mean in units of the true sd, the sample's mean lies w / √n off, w standard normal.
    There the limits hold the content if k S reaches at least r, with Φ(w/√n + r) - Φ(w/√n - r) = content. So
    the confidence is the mean over w of P(S >= r/k), S² (n - 1) being chi-square. Source: Odeh and Owen,
    Tables for normal tolerance limits, sampling plans and screening (1980); NIST/SEMATECH e-Handbook 7.2.6.3;
    ISO 16269-6:2014.
    """
    _check_size(n, 2)
    _check_shares(content, confidence)
    nodes = [count * _STEP for count in range(int(_REACH / _STEP) + 1)]
    weights = [_STEP * exp(-w * w / 2) / sqrt(2 * pi) * (2 if w else 1) for w in nodes]
    reaches = [_half_width(w / sqrt(n), float(1 - content)) for w in nodes]

    def doubt(k: float) -> float:
        missed = (1 - chi_square_above((n - 1) * (r / k) ** 2, n - 1) for r in reaches)
        return fsum(weight * each for weight, each in zip(weights, missed, strict=True)) if k else 1.0

    return bisect_root(doubt, float(1 - confidence))


@lru_cache(maxsize=256)
def one_sided_factor(n: int, content: Decimal, confidence: Decimal) -> float:
    """Give the exact k of mean + k sd (or mean - k sd), which bounds one side; raises SampleError.

    A quantile of the noncentral Student distribution over √n, not Natrella's approximation. Source:
    NIST/SEMATECH e-Handbook 7.2.6.3; ISO 16269-6:2014.
    """
    _check_size(n, 2)
    _check_shares(content, confidence)
    root = sqrt(n)
    # Loaded only here: most calls of lint have no interval to work out.
    from statistics import NormalDist  # noqa: PLC0415

    shift = NormalDist().inv_cdf(float(content)) * root
    return bisect_root(lambda k: student_upper_tail(k * root, n - 1, shift), float(1 - confidence))


def range_confidence(n: int, content: Decimal, ends: int = 2) -> float:
    """Give the confidence that the range of n values, or all up to one end, holds the content.

    Whatever the distribution is; raises SampleError. Source: Wilks, Determination of sample sizes for setting
    tolerance limits, Annals of Mathematical Statistics 12 (1941), 91-96; ISO 16269-6:2014, annex on
    distribution-free intervals.

    >>> round(range_confidence(10, Decimal("0.95")), 4), range_confidence(1, Decimal("0.95"))
    (0.0861, 0.0)
    """
    _check_size(n, 1)
    _check_shares(content)
    return float(1 - _range_doubt(n, Fraction(content), ends))


def values_needed(content: Decimal, confidence: Decimal, ends: int = 2) -> int:
    """Give the smallest n whose range, or all up to one end, holds the content, decided exactly.

    Source as for `range_confidence`; raises SampleError.

    >>> values_needed(Decimal("0.95"), Decimal("0.95"))
    93
    >>> values_needed(Decimal("0.95"), Decimal("0.95"), ends=1)
    59
    """
    _check_shares(content, confidence)
    share, doubt = Fraction(content), 1 - Fraction(confidence)
    high = 1
    while _range_doubt(high, share, ends) > doubt:
        high *= 2
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _range_doubt(middle, share, ends) > doubt else (low, middle)
    return high


def _range_doubt(n: int, content: Fraction, ends: int) -> Fraction:
    outside = n * (1 - content) if ends == 2 else 0
    return content ** (n - 1) * (content + outside)


def _half_width(off: float, outside: float) -> float:
    """Solve for the half width round `off` that leaves out the share `outside` of a standard normal."""
    root = sqrt(2)
    return bisect_root(lambda r: (erfc((r + off) / root) + erfc((r - off) / root)) / 2, outside)


def _check_size(n: int, least: int) -> None:
    if n < least:
        raise SampleError(f"{n} values are too few for limits", f"take at least {least}")


def _check_shares(*shares: Decimal) -> None:
    for share in shares:
        if not Decimal("0.5") <= share <= Decimal("0.999"):
            raise SampleError(f"limits for a share of {share} are of no use", "choose one from 0.5 to 0.999")
