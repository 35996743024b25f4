"""The time constant of a sensor that rises to a steady value as 1 - exp(-t/τ) does.

A cooler that takes up heat at a steady rate and gives it off in proportion to its rise follows this curve: 63.212 %
of the rise after one time constant, 86.466 % after two, 95.021 % after three. A board has more than one heat capacity,
so no real curve fits wholly; how well it does is said beside the figure, and none is given where it fits badly.
"""

from __future__ import annotations

from math import exp, fsum, inf, sqrt

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.line import independent_of, student_95
from jobkit.reckon.statistics.minimum import lowest_point
from jobkit.reckon.statistics.series import Series, mean, thinned

_FEWEST = 6

GOOD, FAIR = 0.99, 0.95
"""Shares of the variance that a curve must explain to fit well, and to be told at all. Our choice, no source."""

SURE = 0.25
"""A time constant is told only if its 95 % interval reaches no farther than this share of it. Our choice, no source."""


class FirstOrder(NamedTuple):
    """A curve end + (start - end) exp(-t/τ), t counted from the first value; in the unit of the sensor, and seconds.

    `tau_95` and `end_95` are half-widths of 95 % intervals, `explained` is the share of the variance that the curve
    explains (R²), `rms` what is left between curve and values.
    """

    start: float
    end: float
    tau: float
    tau_95: float
    end_95: float
    explained: float
    rms: float

    @property
    def fit(self) -> str:
        """How well the curve fits: `good`, `fair` or `poor`; a poor one tells nothing."""
        if self.explained < FAIR or self.tau_95 > SURE * self.tau:
            return "poor"
        return "good" if self.explained >= GOOD else "fair"


def fit_first_order(series: Series) -> FirstOrder | None:
    """Fit a first-order curve by least squares; None for too few values, or values that do not change.

    For a given τ the curve is a straight line over exp(-t/τ), so that only τ has to be sought (variable projection:
    Golub and Pereyra, The differentiation of pseudo-inverses and nonlinear least squares problems whose variables
    separate, SIAM Journal on Numerical Analysis 10 (1973), 413-432).
    """
    points = thinned(series)
    if len(points.times) < _FEWEST or points.times[0] == points.times[-1] or len(set(points.values)) < 2:
        return None
    start = points.times[0]
    since = Series([time - start for time in points.times], points.values)
    return _described(since, _best_tau(since))


class _Fit(NamedTuple):
    """The line over exp(-t/τ): value = end + rise * exp(-t/τ), and the sum of its squared residuals."""

    end: float
    rise: float
    residuals: list[float]
    left: float


def _fit_at(points: Series, tau: float) -> _Fit:
    fading = [exp(-time / tau) for time in points.times]
    middle, level = mean(fading), mean(points.values)
    spread = fsum((one - middle) ** 2 for one in fading)
    both = fsum((one - middle) * (value - level) for one, value in zip(fading, points.values, strict=True))
    rise = both / spread if spread else 0.0
    end = level - rise * middle
    residuals = [value - end - rise * one for one, value in zip(fading, points.values, strict=True)]
    return _Fit(end, rise, residuals, fsum(one * one for one in residuals))


def _best_tau(points: Series) -> float:
    """Find the τ that leaves least: first among τ that double from the first interval on, then between two of them."""
    longest = 8 * points.times[-1]
    taus = [next(time for time in points.times if time > 0) / 2]
    while taus[-1] < longest:
        taus.append(2 * taus[-1])
    left = [_fit_at(points, tau).left for tau in taus]
    best = left.index(min(left))
    return lowest_point(
        lambda tau: _fit_at(points, tau).left, taus[max(0, best - 1)], taus[min(best + 1, len(taus) - 1)]
    )


def _described(points: Series, tau: float) -> FirstOrder:
    fit, count = _fit_at(points, tau), len(points.times)
    level = mean(points.values)
    whole = fsum((value - level) ** 2 for value in points.values)
    rms = sqrt(fit.left / (count - 3))
    tau_u, end_u = _uncertainties(points, tau, fit, rms)
    return FirstOrder(fit.end + fit.rise, fit.end, tau, tau_u, end_u, 1 - fit.left / whole, rms)


def _uncertainties(points: Series, tau: float, fit: _Fit, rms: float) -> tuple[float, float]:
    """Give the half-widths of the 95 % intervals of τ and of the end value, from the curve's derivatives there.

    Each derivative is freed of what the two others explain; what is left of it tells how well its figure is known
    (linear regression, Frisch and Waugh). Residuals that follow each other count as fewer.
    """
    degrees = max(1.0, independent_of(fit.residuals) - 3)
    half = student_95(degrees) * rms * sqrt((len(points.times) - 3) / degrees)
    fading = [exp(-time / tau) for time in points.times]
    by_tau = [fit.rise * time / tau**2 * one for time, one in zip(points.times, fading, strict=True)]
    ones = [1.0] * len(fading)
    return _half(half, _freed(by_tau, ones, fading)), _half(half, _freed(ones, fading, by_tau))


def _half(half: float, freed: float) -> float:
    return half / sqrt(freed) if freed > 0 else inf


def _freed(column: list[float], first: list[float], second: list[float]) -> float:
    """Give the sum of squares that is left of a column once two others have explained what they can of it."""
    second = _without(second, first)
    column = _without(_without(column, first), second)
    return fsum(one * one for one in column)


def _without(column: list[float], other: list[float]) -> list[float]:
    size = fsum(one * one for one in other)
    if not size:
        return column
    share = fsum(one * two for one, two in zip(column, other, strict=True)) / size
    return [one - share * two for one, two in zip(column, other, strict=True)]
