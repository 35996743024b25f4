"""The lowest point of a valley: parabolas through three points, and golden sections where these lead nowhere."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

from jobkit.named_tuple import NamedTuple

_GOLDEN = (3 - sqrt(5)) / 2
_FINE = 1e-8
"""Relative; a valley is flat to the precision of a float within the root of that precision."""
_MOST = 200
"""Steps; golden sections alone narrow any two ends that are floats a thousandfold apart to that in 60."""


class _Point(NamedTuple):
    at: float
    cost: float


def lowest_point(cost: Callable[[float], float], low: float, high: float) -> float:
    """Find where a cost with one valley between two positive ends is least, to a relative 1e-8.

    Source: Brent, Algorithms for minimization without derivatives (1973), chapter 5 (`localmin`).

    >>> round(lowest_point(lambda x: (x - 2) ** 2, 0.5, 8), 6)
    2.0
    """
    start = low + _GOLDEN * (high - low)
    best = second = third = _Point(start, cost(start))
    step = before = 0.0
    for _ in range(_MOST):
        middle, fine = (low + high) / 2, _FINE * abs(best.at)
        if abs(best.at - middle) <= 2 * fine - (high - low) / 2:
            break
        leap = _leap(best, second, third)
        if leap is None or abs(leap) >= abs(before) / 2 or not low < best.at + leap < high:
            before = (high if best.at < middle else low) - best.at
            step = _GOLDEN * before
        else:
            before, step = step, leap
        if abs(step) < fine:
            step = fine if step > 0 else -fine
        tried = _Point(best.at + step, cost(best.at + step))
        low, high = _narrowed(low, high, best, tried)
        best, second, third = _ranked(best, second, third, tried)
    return best.at


def _leap(best: _Point, second: _Point, third: _Point) -> float | None:
    """Return how far it is from the best point to the lowest of the parabola through three; None if it has none."""
    one = (best.at - second.at) * (best.cost - third.cost)
    other = (best.at - third.at) * (best.cost - second.cost)
    size = 2 * (other - one)
    return ((best.at - third.at) * other - (best.at - second.at) * one) / -size if size else None


def _narrowed(low: float, high: float, best: _Point, tried: _Point) -> tuple[float, float]:
    """Return the ends between which the valley is, now that one more point is known; the better one is between them."""
    if tried.cost <= best.cost:
        return (best.at, high) if tried.at >= best.at else (low, best.at)
    return (tried.at, high) if tried.at < best.at else (low, tried.at)


def _ranked(best: _Point, second: _Point, third: _Point, tried: _Point) -> tuple[_Point, _Point, _Point]:
    """Return the three lowest points, the lowest first; two that are the same place tell no more than one."""
    if tried.cost <= best.cost:
        return tried, best, second
    if tried.cost <= second.cost or second.at == best.at:
        return best, tried, second
    if tried.cost <= third.cost or third.at in {best.at, second.at}:
        return best, second, tried
    return best, second, third
