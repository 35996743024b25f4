"""The part of a log in which the board was under load, told by its power."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import fsum

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.series import Series, stretches, thinned

PAUSE = 60.0
"""A pause shorter than so many seconds belongs to the run: a test that loads its next scene. Our choice, no source."""

_HIGH = 0.9
_HOLE = 10
_LOOKED_AT = 10_000


class Loaded(NamedTuple):
    """The longest stretch under load: first and last second, how long the board was loaded in it, in seconds.

    `by_power` is False where the log has no power column, so that all of it counts; `stretches` tells how many runs
    there are in the log, `hole` is the longest time without a row within the stretch, 0 where there is none.
    """

    start: float
    end: float
    seconds: float
    by_power: bool
    stretches: int = 1
    hole: float = 0.0


def loaded_part(times: Sequence[float], power: Series | None) -> Loaded | None:
    """Find the longest stretch in which power is above half of its high level; None for a log without rows.

    The high level is the one that a tenth of the values exceed, so that a spike does not count as the load. Time
    without rows is not time under load.
    """
    if not len(times):
        return None
    if power is None or not len(power.times):
        return _measured(times, times[0], times[-1], by_power=False, count=1)
    ranked = sorted(thinned(power).values)
    level = ranked[int(_HIGH * (len(ranked) - 1))]
    runs = _joined(
        [(power.times[a], power.times[b]) for a, b in stretches([one >= level / 2 for one in power.values])]
    )
    start, end = max(runs, key=lambda run: run[1] - run[0])
    return _measured(times, start, end, by_power=True, count=sum(b - a >= PAUSE for a, b in runs) or 1)


def interval_of(times: Sequence[float]) -> float:
    """Tell how far rows are apart as a rule: the median of the first ten thousand steps; 0 for fewer than two rows."""
    steps = sorted(later - earlier for earlier, later in pairwise(times[:_LOOKED_AT]))
    return steps[len(steps) // 2] if steps else 0.0


def _joined(runs: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Join stretches with no more than a short pause between them."""
    joined = runs[:1]
    for start, end in runs[1:]:
        if start - joined[-1][1] < PAUSE:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return joined


def _measured(times: Sequence[float], start: float, end: float, *, by_power: bool, count: int) -> Loaded:
    rows = Series(times, times).between(start, end).times
    longest = max(PAUSE, _HOLE * interval_of(rows))
    holes = [later - earlier for earlier, later in pairwise(rows) if later - earlier > longest]
    return Loaded(start, end, end - start - fsum(holes), by_power, count, max(holes, default=0.0))
