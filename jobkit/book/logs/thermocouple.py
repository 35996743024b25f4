"""Read the log of a heating: seconds or a clock, and a column for each thermocouple, in °C or °F."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import IO

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions, Progress
from jobkit.book.logs.gathered import Gathered, gather, skipped_cells
from jobkit.book.logs.series import Channel
from jobkit.book.logs.trouble import LogTrouble, quoted
from jobkit.jobs.heat_log import HeatLog, Thermocouple

_TEMPERATURES = frozenset(("", "°C"))
_FEWEST = 3
"""Fewer rows show neither a ramp nor a peak."""

MOST = 5_000_000
"""More rows than these are no heating: five days at ten a second."""

_WARM = 60.0
"""A log without units that begins above so many degrees may be in °F: a room of 25 °C is 77 °F. Our choice."""


def read_heat_log(
    stream: IO[bytes], options: LogOptions = ALL_GUESSED, progress: Progress | None = None
) -> HeatLog | LogTrouble:
    """Read a thermocouple log, or say why it cannot be used."""
    log = gather(stream, options, progress, MOST)
    if isinstance(log, LogTrouble):
        return log
    if len(log.seconds) < _FEWEST:
        rows = "row" if len(log.seconds) == 1 else "rows"
        return LogTrouble(0, f"the log has {len(log.seconds)} {rows}, too few to show a heating")
    warm = [one for one in log.kept if one.unit in _TEMPERATURES]
    if not warm:
        return LogTrouble(1, "the log has no column of temperatures", "state units: --unit t1=°C")
    columns = [Thermocouple(one.name, log.values[one.name]) for one in warm]
    refused = [
        Thermocouple(one.name, (), why.message)
        for one, why in log.refused.items()
        if one.unit in _TEMPERATURES
    ]
    return HeatLog(log.seconds, (*columns, *refused), tuple(_notes(log, warm)), log.begun)


def _notes(log: Gathered, warm: Sequence[Channel]) -> Iterable[str]:
    """Say what was guessed, skipped and left out."""
    yield from log.guesses
    yield from _units_taken(log, [one for one in warm if not one.unit])
    yield from log.skipped_words()
    for channel in log.kept:
        if channel not in warm:
            yield f"column {quoted(channel.name)} is in {channel.unit}, which is not a temperature; left out"
        else:
            yield from _missing(channel)
            yield from skipped_cells(channel)
    yield from (jump.trouble().words() for jump in log.gaps)


def _missing(channel: Channel) -> Iterable[str]:
    if channel.absent:
        cells = "cell holds" if channel.absent == 1 else "cells hold"
        yield f"{channel.absent} {cells} no value in column {quoted(channel.name)}"


def _units_taken(log: Gathered, without: Sequence[Channel]) -> Iterable[str]:
    """Say which columns were taken for °C, and whether their first values look like °F."""
    if not without:
        return
    yield f"the header names no unit for {', '.join(one.name for one in without)}; read as °C"
    first = [log.values[one.name][0] for one in without]
    if min(first) > _WARM:
        yield f"the log begins at {min(first):.0f}: if that is °F, say so with --unit °F"
