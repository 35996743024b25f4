"""Heatings whose figures are known before they are measured."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import exp
from random import Random

from jobkit.jobs.heat_log import HeatLog, Thermocouple
from jobkit.reckon.heat.temperatures import Temperatures, cleaned


def through(corners: Sequence[tuple[float, float]], step: float = 1.0) -> list[tuple[float, float]]:
    """Go in straight lines through corners of seconds and °C, with a reading every `step` seconds."""
    points = []
    for row in range(round(corners[-1][0] / step) + 1):
        time = row * step
        after = next(at for at, (when, _) in enumerate(corners) if when >= time)
        (start, low), (end, high) = corners[max(after - 1, 0)], corners[after]
        share = (time - start) / (end - start) if end > start else 1.0
        points.append((time, low + share * (high - low)))
    return points


def first_order(
    start: float, end: float, tau: float, seconds: float, step: float = 1.0
) -> list[tuple[float, float]]:
    """Rise from start to end as 1 - exp(-t/τ)."""
    times = (row * step for row in range(round(seconds / step) + 1))
    return [(time, end + (start - end) * exp(-time / tau)) for time in times]


def noisy(points: Iterable[tuple[float, float]], sd: float, seed: int = 1) -> list[tuple[float, float]]:
    """Add normal noise."""
    random = Random(seed)  # noqa: S311 - noise, not a secret
    return [(time, value + random.gauss(0, sd)) for time, value in points]


def readings(points: Sequence[tuple[float, float]]) -> Temperatures:
    """Clean the readings of one thermocouple, of which some must be left."""
    times, values = zip(*points, strict=True)
    steps = sorted(later - earlier for earlier, later in pairwise(times))
    found = cleaned(times, values, steps[len(steps) // 2])
    assert isinstance(found, Temperatures), found
    return found


def a_log(**columns: Sequence[tuple[float, float]]) -> HeatLog:
    """Put thermocouples with the same times into a log."""
    times = [time for time, _ in next(iter(columns.values()))]
    return HeatLog(
        times, tuple(Thermocouple(name, [value for _, value in points]) for name, points in columns.items())
    )


SOUND = ((0, 25), (125, 150), (215, 200), (255, 240), (265, 240), (345, 60))
"""1 °C/s to 150 °C, 90 s of preheat, 1 °C/s to 240 °C, 10 s there, 2.25 °C/s down."""
