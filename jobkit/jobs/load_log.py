"""The log of a loaded run as columns: the seconds, and beside them the values of each sensor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from jobkit.named_tuple import NamedTuple

SENSOR_UNITS: Mapping[str, str] = {
    "temperature": "°C",
    "power": "W",
    "clock": "Hz",
    "frame rate": "fps",
    "fan": "rpm",
    "voltage": "V",
    "current": "A",
    "errors": "errors",
}
"""What a sensor of a load log can measure, and the base unit of each."""


class Column(NamedTuple):
    """One sensor: its name as the log has it, what it measures ("" = unknown), its unit, and a value a row.

    Values are in the unit told; a row without one holds a NaN, and `gaps` counts these rows. A fan that is logged as
    a share of its full speed has the unit %.
    """

    name: str
    measures: str
    unit: str
    values: Sequence[float]
    gaps: int = 0


class LoadLog(NamedTuple):
    """A log: seconds since its first row, never falling, and its sensors.

    `notes` say what was guessed and skipped in reading; `begun` is the local time of the first row where the log
    has it.
    """

    times: Sequence[float]
    columns: tuple[Column, ...]
    notes: tuple[str, ...] = ()
    begun: datetime | None = None
