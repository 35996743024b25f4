"""The temperature of the room during a run, and what a board's power makes of it."""

from __future__ import annotations

from decimal import Decimal

from jobkit.reckon.load_run.run import Run, SensorRun, plain_name
from jobkit.reckon.statistics.series import exactly
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.quantity import Quantity, plain

_NAMES = ("ambient", "room", "ambient temperature", "room temperature")


def is_room(sensor: SensorRun) -> bool:
    """Tell whether a sensor is the thermometer of the room."""
    return sensor.measures == "temperature" and plain_name(sensor.name) in _NAMES


def ambient_of(run: Run, told: Quantity | None) -> Quantity | None:
    """Give the temperature of the room: the mean of its column over the last third, else the one told."""
    column = next((one for one in run.sensors if is_room(one)), None)
    if column and column.settling:
        return plain(exactly(column.settling.mean, 5), column.unit)
    return told


def per_watt(run: Run, sensor: SensorRun, ambient: Quantity | None) -> Decimal | None:
    """Give the settled rise over the room for each watt of the board, in °C/W.

    None where that would say little: a sensor or a power that has not settled, a fan that is not known to be steady,
    or an unknown temperature of the room.
    """
    power = run.power
    if ambient is None or power is None or run.fan != "steady" or sensor.measures != "temperature":
        return None
    settled, drawn = sensor.settled, power.settled
    if settled is None or drawn is None or drawn <= 0:
        return None
    return ROOT.divide(EXACT.subtract(exactly(settled), ambient.value), exactly(drawn))
