"""Read the log of a loaded run: seconds, and a column for each sensor."""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import IO

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions, Progress
from jobkit.book.logs.gathered import Gathered, gather, skipped_cells
from jobkit.book.logs.header import alike
from jobkit.book.logs.series import Channel
from jobkit.book.logs.trouble import LogTrouble, quoted
from jobkit.jobs.load_log import SENSOR_UNITS, Column, LoadLog

_BY_UNIT: Mapping[str, str] = {unit: measures for measures, unit in SENSOR_UNITS.items()}
_SAME_UNIT = {"1/min": "rpm", "min⁻¹": "rpm"}

_WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("", ("load", "usage", "use", "used", "utilisation", "utilization", "duty")),
    ("fan", ("fan", "pump")),
    ("frame rate", ("frame", "frames", "fps")),
    ("clock", ("clock", "frequency")),
    ("power", ("power", "watt", "watts")),
    ("voltage", ("voltage", "volt", "volts")),
    ("current", ("current", "ampere", "amps")),
    ("errors", ("error", "errors")),
    (
        "temperature",
        ("temperature", "temp", "hot", "hotspot", "core", "memory", "ambient", "room", "bridge", "inlet"),
    ),
)
"""Words in the name of a column that tell what it measures where no unit does; the first row that fits counts."""

_WITHOUT_UNIT = {"clock": ("MHz", 1e6)}
"""What numbers without a unit are taken for where that is not the base unit."""


def read_load_log(
    stream: IO[bytes], options: LogOptions = ALL_GUESSED, progress: Progress | None = None
) -> LoadLog | LogTrouble:
    """Read a load log, or say why it cannot be used."""
    log = gather(stream, options, progress)
    if isinstance(log, LogTrouble):
        return log
    columns = tuple(_column(channel, log.values[channel.name]) for channel in log.kept)
    return LoadLog(log.seconds, columns, tuple(_notes(log)), log.begun)


def measures_of(name: str, unit: str) -> str:
    """Tell what a column measures, by its unit, else by the words of its name; "" where neither tells.

    >>> [measures_of(name, "") for name in ("Hot Spot", "core clock", "core load")], measures_of("core load", "°C")
    (['temperature', 'clock', ''], 'temperature')
    """
    if unit and unit != "%":
        return _BY_UNIT.get(unit, "")
    words = set(alike(name).split())
    told = next((measures for measures, some in _WORDS if words.intersection(some)), "")
    return told if not unit or told == "fan" else ""


def _column(channel: Channel, values: array[float]) -> Column:
    unit = _SAME_UNIT.get(channel.unit, channel.unit)
    measures = measures_of(channel.name, unit)
    gaps = channel.absent + channel.bad.count
    if unit or not measures:
        return Column(channel.name, measures, unit, values, gaps)
    _, factor = _WITHOUT_UNIT.get(measures, ("", 1.0))
    if factor != 1.0:
        values = array("d", (value * factor for value in values))
    return Column(channel.name, measures, SENSOR_UNITS[measures], values, gaps)


def _notes(log: Gathered) -> Iterable[str]:
    """Say what was guessed, skipped and left out."""
    yield from log.guesses
    yield from _units_taken(log.kept)
    yield from log.skipped_words()
    for channel in log.refused:
        yield f"column {quoted(channel.name)} left out: {log.refused[channel].message}"
    for channel in log.kept:
        yield from skipped_cells(channel)


def _units_taken(kept: Sequence[Channel]) -> Iterable[str]:
    """Say which units were taken for columns whose header has none."""
    taken = defaultdict[str, list[str]](list)
    for channel in kept:
        measures = "" if channel.unit else measures_of(channel.name, "")
        if measures and measures != "errors":
            unit, _ = _WITHOUT_UNIT.get(measures, (SENSOR_UNITS[measures], 1.0))
            taken[unit].append(channel.name)
    if taken:
        told = (f"{', '.join(names)} in {unit}" for unit, names in taken.items())
        yield f"the header names no units; read as {'; '.join(told)}"
