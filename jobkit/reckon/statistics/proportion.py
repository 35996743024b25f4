"""How well a share or a count is known: intervals for few cases as well as for many."""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.distributions import bisect_root, gamma_above
from jobkit.reckon.statistics.quantile import SampleError


class Interval(NamedTuple):
    """The ends of an interval and the confidence that it holds the true value."""

    low: float
    high: float
    confidence: float


def wilson(hits: int, n: int, confidence: float = 0.95) -> Interval:
    """Give the score interval of a share, without continuity correction; raises SampleError.

    Of no cases at all it says 0 to 1: nothing is known. Source: Wilson, Probable inference, the law of
    succession, and statistical inference, Journal of the American Statistical Association 22 (1927), 209-212;
    method 3 of Newcombe, Statistics in Medicine 17 (1998), 857-872.
    """
    z = two_sided_z(confidence)
    if not 0 <= hits <= n:
        raise SampleError(f"{hits} of {n} is not a share", "count each case once")
    if n == 0:
        return Interval(0.0, 1.0, confidence)
    middle = (hits + z * z / 2) / (n + z * z)
    reach = z / (n + z * z) * sqrt(hits * (n - hits) / n + z * z / 4)
    low = 0.0 if hits == 0 else middle - reach
    high = 1.0 if hits == n else middle + reach
    return Interval(low, high, confidence)


def poisson(events: int, confidence: float = 0.95) -> Interval:
    """Give the exact interval of the mean number of events where `events` came; raises SampleError.

    Source: Garwood, Fiducial limits for the Poisson distribution, Biometrika 28 (1936), 437-442, through the
    gamma distribution: P(at most k events | mean m) = P(gamma value of shape k + 1 above m).
    """
    _check(confidence)
    if events < 0:
        raise SampleError(f"{events} events cannot be counted", "count from 0 on")
    tail = (1 - confidence) / 2
    low = bisect_root(lambda mean: gamma_above(events, mean), 1 - tail) if events else 0.0
    high = bisect_root(lambda mean: gamma_above(events + 1, mean), tail)
    return Interval(low, high, confidence)


def two_sided_z(confidence: float) -> float:
    """Give the z for which -z to z holds a standard normal value with the confidence; raises SampleError."""
    _check(confidence)
    return NormalDist().inv_cdf((1 + confidence) / 2)


def _check(confidence: float) -> None:
    if not 0 < confidence < 1:
        raise SampleError(f"a confidence of {confidence} makes no interval", "choose one between 0 and 1")
