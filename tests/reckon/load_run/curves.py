"""Curves whose figures are known before they are measured, with noise or without."""

from __future__ import annotations

from math import exp
from random import Random

from jobkit.reckon.statistics.series import Series


def first_order(start: float, end: float, tau: float, *, minutes: float = 30, step: float = 20) -> Series:
    """Rise from start to end as 1 - exp(-t/τ)."""
    times = _times(minutes, step)
    return Series(times, [end + (start - end) * exp(-time / tau) for time in times])


def ramp(start: float, an_hour: float, *, minutes: float = 30, step: float = 20) -> Series:
    """Rise or fall evenly."""
    times = _times(minutes, step)
    return Series(times, [start + an_hour * time / 3600 for time in times])


def noisy(series: Series, sd: float, seed: int, likeness: float = 0.0) -> Series:
    """Add normal noise; `likeness` is the correlation of each error with the one before it (an AR(1) process)."""
    random = Random(seed)  # noqa: S311 - noise, not a secret
    error, noise = random.gauss(0, sd), []
    for _ in series.times:
        noise.append(error)
        error = likeness * error + random.gauss(0, sd * (1 - likeness**2) ** 0.5)
    return Series(series.times, [value + one for value, one in zip(series.values, noise, strict=True)])


def shown(series: Series, places: int) -> Series:
    """Round as a display does."""
    return Series(series.times, [round(value, places) for value in series.values])


def _times(minutes: float, step: float) -> list[float]:
    return [row * step for row in range(round(60 * minutes / step) + 1)]
