"""The log of a heating as columns: the seconds, and beside them the temperatures of each thermocouple."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from jobkit.named_tuple import NamedTuple


class Thermocouple(NamedTuple):
    """One thermocouple: its name as the log has it, and a temperature a row in °C, NaN where there is none.

    `refused` says why its column cannot be read; "" where it can.
    """

    name: str
    values: Sequence[float] = ()
    refused: str = ""


class HeatLog(NamedTuple):
    """A log: seconds since its first row, never falling, and its thermocouples.

    `notes` say what was guessed and skipped in reading; `begun` is the local time of the first row where the log
    has it.
    """

    times: Sequence[float]
    columns: tuple[Thermocouple, ...]
    notes: tuple[str, ...] = ()
    begun: datetime | None = None
