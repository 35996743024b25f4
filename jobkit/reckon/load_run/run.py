"""What the log of a loaded run shows, whatever it is checked against: small, so that it can be kept for its log."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import cached_property
from itertools import pairwise
from math import hypot, isnan

from jobkit.jobs.load_log import Column, LoadLog
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.dips import SHARE, Dips, dips_of
from jobkit.reckon.load_run.first_order import FirstOrder, fit_first_order
from jobkit.reckon.load_run.line import fit_line
from jobkit.reckon.load_run.loaded import Loaded, interval_of, loaded_part
from jobkit.reckon.load_run.settling import SETTLED, Settling, last_third, settling_of
from jobkit.reckon.statistics.series import Series

STEADY = 0.05
"""A fan whose speed moves by less than this share of it was steady. Our choice, no source."""


class Rise:
    """A temperature under load; its curve is fitted when it is first asked for, as that takes longer than all else."""

    def __init__(self, under_load: Series) -> None:
        self._under_load = under_load

    @cached_property
    def curve(self) -> FirstOrder | None:
        """The first-order curve; None where there are too few values."""
        return fit_first_order(self._under_load)

    def __eq__(self, other: object) -> bool:
        """Tell whether the same values rise."""
        return isinstance(other, Rise) and self._under_load == other._under_load

    def __hash__(self) -> int:
        """Give one hash to all: equal ones must not differ, and nothing is looked up by a rise."""
        return hash(Rise)


class SensorRun(NamedTuple):
    """What one sensor showed; all in its unit, times in seconds of the log.

    `highest` of a temperature is that of the whole log, since heat goes on after the load; of all else, and `lowest`,
    under load. `errors` is how many a counter of errors shows. A settled or fitted figure is None where there are too
    few values.
    """

    name: str
    measures: str
    unit: str
    rows: int
    lowest: float
    highest: float
    highest_at: float
    settling: Settling | None = None
    rise: Rise | None = None
    dips: Dips | None = None
    errors: int | None = None

    @property
    def first_order(self) -> FirstOrder | None:
        """The curve fitted to a temperature."""
        return self.rise.curve if self.rise else None

    @property
    def settled(self) -> float | None:
        """The value it settled at; None where it did not settle."""
        return self.settling.mean if self.settling and self.settling.state == SETTLED else None

    @property
    def time_constant(self) -> float | None:
        """The seconds in which it made 63 % of its rise; None where its curve does not bear one out."""
        return self.first_order.tau if self.first_order and self.first_order.fit != "poor" else None


class Run(NamedTuple):
    """A loaded run: its rows, how far they are apart, the part under load, and what each sensor showed.

    `fan` tells of the fans over the time in which the sensors settled: steady, unsteady, or "" where none is logged.
    """

    rows: int
    seconds: float
    interval: float
    loaded: Loaded
    fan: str
    sensors: tuple[SensorRun, ...]
    notes: tuple[str, ...] = ()
    begun: datetime | None = None

    @property
    def minutes(self) -> float:
        """How long the board was under load."""
        return self.loaded.seconds / 60

    def sensor(self, name: str) -> SensorRun | None:
        """Find a sensor by its name; capitals, hyphens and underscores make no difference."""
        return next((one for one in self.sensors if plain_name(one.name) == plain_name(name)), None)

    def measuring(self, measures: str) -> tuple[SensorRun, ...]:
        """Give the sensors that measure one thing, in the order of the log."""
        return tuple(one for one in self.sensors if one.measures == measures)

    @property
    def power(self) -> SensorRun | None:
        """The power of the whole board: the largest where the log has several."""
        settled = [one for one in self.measuring("power") if one.settling]
        return max(settled, key=lambda one: one.settling.mean if one.settling else 0.0, default=None)


def plain_name(name: str) -> str:
    """Write a sensor's name as it is compared.

    >>> plain_name("Hot-Spot "), plain_name("hot_spot")
    ('hot spot', 'hot spot')
    """
    return " ".join(name.casefold().replace("_", " ").replace("-", " ").split())


def run_of(log: LoadLog, share: float = SHARE) -> Run | None:
    """Describe a log; None for one without rows. `share` of its median is what a clock dips below."""
    sensors = [(column, one) for column in log.columns if len((one := series_of(log, column)).values)]
    loaded = loaded_part(log.times, _load_power(sensors))
    if loaded is None:
        return None
    interval = interval_of(log.times)
    return Run(
        len(log.times),
        log.times[-1] - log.times[0],
        interval,
        loaded,
        _fan([one.between(loaded.start, loaded.end) for column, one in sensors if column.measures == "fan"]),
        tuple(_sensor_run(column, one, loaded, interval, share) for column, one in sensors),
        log.notes,
        log.begun,
    )


def series_of(log: LoadLog, column: Column) -> Series:
    """Give a sensor's values with their times, rows without a value left out."""
    if not column.gaps:
        return Series(log.times, column.values)
    kept = [(time, value) for time, value in zip(log.times, column.values, strict=True) if not isnan(value)]
    return Series([time for time, _ in kept], [value for _, value in kept])


def _load_power(sensors: Sequence[tuple[Column, Series]]) -> Series | None:
    """Choose the column that tells the load: of several powers the largest, which is the board's."""
    powers = [one for column, one in sensors if column.measures == "power"]
    return max(powers, key=lambda one: max(one.values), default=None)


def _sensor_run(column: Column, whole: Series, loaded: Loaded, interval: float, share: float) -> SensorRun:
    measures, temperature = column.measures, column.measures == "temperature"
    under_load = whole.between(loaded.start, loaded.end)
    looked_at = whole if temperature or not len(under_load.values) else under_load
    highest = max(looked_at.values)
    return SensorRun(
        column.name,
        measures,
        column.unit,
        len(whole.values),
        min(under_load.values, default=highest),
        highest,
        looked_at.times[looked_at.values.index(highest)],
        settling_of(under_load, temperature=temperature),
        Rise(under_load) if temperature else None,
        dips_of(under_load, interval, share) if measures in {"clock", "frame rate"} else None,
        _errors(whole.values) if measures == "errors" else None,
    )


def _errors(values: Sequence[float]) -> int:
    """Count errors: the last figure of a counter that never falls, else the sum of all rows."""
    falls = any(later < earlier for earlier, later in pairwise(values))
    return round(sum(values) if falls else values[-1])


def _fan(fans: Sequence[Series]) -> str:
    if not fans:
        return ""
    return "steady" if all(map(_is_steady, fans)) else "unsteady"


def _is_steady(fan: Series) -> bool:
    """Tell whether a fan kept its speed over the last third of the run: its trend, and what it swings around that."""
    tail = last_third(fan)
    line = fit_line(tail)
    if line is None:
        return False
    moved = abs(line.slope) * tail.seconds
    return hypot(moved, 2 * line.sd) <= STEADY * abs(line.mean)
