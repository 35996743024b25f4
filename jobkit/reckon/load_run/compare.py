"""Two loaded runs beside each other, sensor by sensor: before and after new paste, or two boards of one design."""

from __future__ import annotations

from decimal import Decimal
from math import hypot

from jobkit.jobs.load_log import SENSOR_UNITS
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.ambient import ambient_of, per_watt
from jobkit.reckon.load_run.run import Run, SensorRun, plain_name
from jobkit.reckon.statistics.series import exactly
from jobkit.units.exact import EXACT
from jobkit.units.quantity import Quantity

_K = 2.0
"""Coverage factor of the difference: about 95 %."""


class Sides(NamedTuple):
    """One figure before and after, and the difference; None where a run does not give it."""

    before: Decimal | None
    after: Decimal | None

    @property
    def difference(self) -> Decimal | None:
        """After less before."""
        return None if self.before is None or self.after is None else EXACT.subtract(self.after, self.before)


class Compared(NamedTuple):
    """One sensor of both runs, in its unit.

    `rise` is the settled value less the temperature of the room, for temperatures where both rooms are known;
    `per_watt` is in °C/W. `uncertainty` is the expanded one (k = 2) of the difference of the settled values as they
    scatter: what is wrong with a sensor itself is wrong in both runs, and cancels. Between two boards it does not.
    """

    name: str
    measures: str
    unit: str
    settled: Sides
    highest: Sides
    rise: Sides
    per_watt: Sides
    time_constant: Sides
    uncertainty: Decimal | None

    @property
    def changed(self) -> bool | None:
        """Tell whether rise, or settled value where rooms are not known, differs by more than it scatters."""
        found = self.rise.difference if self.rise.difference is not None else self.settled.difference
        return None if found is None or self.uncertainty is None else abs(found) > self.uncertainty


class Comparison(NamedTuple):
    """Two runs: the sensors that both have in the order of the second, and the names that only one has."""

    sensors: tuple[Compared, ...]
    only_before: tuple[str, ...]
    only_after: tuple[str, ...]


def compare_runs(before: Run, after: Run, rooms: tuple[Quantity | None, Quantity | None]) -> Comparison:
    """Compare two runs; `rooms` are the temperatures of the room as told, which a column of the log overrides."""
    first, second = ambient_of(before, rooms[0]), ambient_of(after, rooms[1])
    pairs = [(old, new) for new in after.sensors if (old := before.sensor(new.name)) and old.unit == new.unit]
    both = {plain_name(new.name) for _, new in pairs}
    return Comparison(
        tuple(_compared((before, old, first), (after, new, second)) for old, new in pairs),
        tuple(one.name for one in before.sensors if plain_name(one.name) not in both),
        tuple(one.name for one in after.sensors if plain_name(one.name) not in both),
    )


_Side = tuple[Run, SensorRun, Quantity | None]


def _compared(before: _Side, after: _Side) -> Compared:
    sensor = after[1]
    scatter = [
        side[1].settling.mean_u
        for side in (before, after)
        if side[1].settling and side[1].settled is not None
    ]
    return Compared(
        sensor.name,
        sensor.measures,
        sensor.unit or SENSOR_UNITS.get(sensor.measures, ""),
        Sides(_settled(before[1]), _settled(after[1])),
        Sides(exactly(before[1].highest), exactly(sensor.highest)),
        Sides(_rise(before), _rise(after)),
        Sides(per_watt(*before), per_watt(*after)),
        Sides(_time_constant(before[1]), _time_constant(sensor)),
        exactly(_K * hypot(*scatter)) if len(scatter) == 2 else None,
    )


def _settled(sensor: SensorRun) -> Decimal | None:
    return None if sensor.settled is None else exactly(sensor.settled)


def _time_constant(sensor: SensorRun) -> Decimal | None:
    return None if sensor.time_constant is None else exactly(sensor.time_constant)


def _rise(side: _Side) -> Decimal | None:
    _, sensor, room = side
    settled = _settled(sensor)
    if sensor.measures != "temperature" or settled is None or room is None:
        return None
    return EXACT.subtract(settled, room.value)
