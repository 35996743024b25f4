"""A log of numbers over time, such as a thermocouple log or a load run, read in bounded memory."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import compress
from typing import IO

from jobkit.book.logs.columns import ALL_GUESSED, Log, LogOptions, Progress
from jobkit.book.logs.header import Column, Wanted, alike
from jobkit.book.logs.numbers import UnitScale, read_number, read_plain_numbers, unit_scale
from jobkit.book.logs.split import Batch
from jobkit.book.logs.times import TIME_UNITS, Clock
from jobkit.book.logs.trouble import BAD_SHARE, LogTrouble, Skipped, percent, quoted
from jobkit.named_tuple import NamedTuple

TIME = Wanted(
    "time", ("t", "seconds", "sec", "s", "elapsed", "elapsed time", "timestamp", "date time", "datetime")
)
"""The column that every log over time needs."""


class Samples(NamedTuple):
    """Some rows: the line and the seconds of each, and the values column by column; NaN where there is none."""

    lines: Sequence[int]
    seconds: list[float]
    values: list[list[float]]


class Channel:
    """A column of numbers: its name, its base unit, and the cells that hold no value or are not numbers."""

    def __init__(self, name: str, column: Column) -> None:
        self.name = name
        self.scale: UnitScale = unit_scale(column.unit)
        self.place = column.place
        self.absent = 0
        self.bad = Skipped()

    @property
    def unit(self) -> str:
        """The base unit of its values; empty where neither header nor options tell."""
        return self.scale.unit

    def read(self, lines: Sequence[int], cells: list[str], decimal: str) -> list[float]:
        """Return the values of some cells in the base unit."""
        plain = read_plain_numbers(cells, decimal)
        if plain is not None:
            return self.scale.apply(plain)
        return self.scale.apply(
            [self._read_cell(line, cell, decimal) for line, cell in zip(lines, cells, strict=True)]
        )

    def refusal(self, rows: int, share: Fraction = BAD_SHARE) -> LogTrouble | None:
        """Return why the column cannot be used: too many of its cells are not numbers."""
        if not self.bad.count or Fraction(self.bad.count, rows) <= share:
            return None
        first = self.bad.examples[0]
        return LogTrouble(
            first.line,
            f"{self.bad.count} of {rows} cells of {quoted(self.name)} are not numbers, more than "
            f"{percent(share)}: {first.message}",
        )

    def _read_cell(self, line: int, cell: str, decimal: str) -> float:
        value = read_number(cell, decimal)
        if value is None:
            self.bad.add(line, f"{quoted(self.name)} is {quoted(cell)}, which is not a number")
            return math.nan
        if math.isnan(value):
            self.absent += 1
        return value


class Series:
    """The columns of numbers of a log that has the wanted column `TIME`.

    Columns of text are left out, which is said in `left_out`; they are known once the first rows have been read.
    """

    def __init__(
        self, stream: IO[bytes], options: LogOptions = ALL_GUESSED, progress: Progress | None = None
    ) -> None:
        self.log = Log(stream, [TIME], options, progress)
        self.left_out: list[str] = []
        time = self.log.found.get("time")
        self._time = time or Column("time", "", 0)
        self.clock = Clock(self._time.unit, self.log.decimal)
        sensors = tuple(column for column in self.log.columns if column != time)
        names = {name: heading for name, heading in options.columns.items() if name != "time"}
        self._missing = _not_there(names, sensors)
        self.channels = _channels(_called(sensors, names), options.unit)
        self._first = True

    @property
    def refusal(self) -> LogTrouble | None:
        """Why the log cannot be used; complete once it has been read."""
        if self.log.refusal:
            return self.log.refusal
        if self._time.unit not in TIME_UNITS:
            return LogTrouble(1, f"{quoted(self._time.unit)} is not a unit of time", "s, ms, min and h are")
        if not self.channels:
            return LogTrouble(1, "the log has no column of numbers beside the time")
        return self._missing

    def batches(self) -> Iterator[Samples]:
        """Yield the rows that have a time; the channels of `Samples.values` are those of `channels`."""
        for batch in self.log.batches():
            if self._first and batch.lines:
                self._leave_out_texts(batch)
                self._first = False
            yield self._samples(batch)

    def guesses(self) -> tuple[str, ...]:
        """Say what was guessed; complete once the log has been read."""
        texts = [f"column {quoted(name)} holds no numbers; left out" for name in self.left_out]
        return (*self.log.guesses, *self.clock.guesses, *texts)

    def _samples(self, batch: Batch) -> Samples:
        lines, cells = batch.lines, batch.cells
        time = cells[self._time.place]
        times = self.clock.read(lines, time)
        if None in times:
            kept = [time is not None for time in times]
            for line, cell in compress(zip(lines, time, strict=True), [not one for one in kept]):
                self.log.skip(line, f"time is {quoted(cell)}, which is not a time")
            lines = list(compress(lines, kept))
            cells = [list(compress(column, kept)) for column in cells]
        seconds = [time for time in times if time is not None]
        values = [one.read(lines, cells[one.place], self.log.decimal) for one in self.channels]
        return Samples(lines, seconds, values)

    def _leave_out_texts(self, batch: Batch) -> None:
        """Leave out the columns in whose first rows there are texts and not a single number."""
        self.left_out = [one.name for one in self.channels if self._is_text(batch.cells[one.place])]
        self.channels = tuple(one for one in self.channels if one.name not in self.left_out)

    def _is_text(self, cells: list[str]) -> bool:
        """Tell whether a column has a text among its cells and not a single number."""
        if read_plain_numbers(cells, self.log.decimal) is not None:
            return False
        read = [read_number(cell, self.log.decimal) for cell in set(cells)]
        return None in read and not any(value is not None and math.isfinite(value) for value in read)


def _called(columns: tuple[Column, ...], names: Mapping[str, str]) -> tuple[Column, ...]:
    """Give columns the names that were stated for their headings."""
    by_heading = {alike(heading): name for name, heading in names.items()}
    return tuple(column._replace(name=by_heading.get(alike(column.name), column.name)) for column in columns)


def _not_there(names: Mapping[str, str], columns: tuple[Column, ...]) -> LogTrouble | None:
    """Say which stated heading no column has."""
    there = {alike(column.name) for column in columns}
    for name, heading in names.items():
        if alike(heading) not in there:
            known = ", ".join(column.name for column in columns) or "none"
            message = f"no column is named {quoted(heading)}, which is stated for {name}; columns of the log: {known}"
            return LogTrouble(
                1, message, f"state which column is {name}: --column {quoted(f'{name}=HEADING')}"
            )
    return None


def _channels(columns: tuple[Column, ...], unit: str) -> tuple[Channel, ...]:
    """Give each column a name of its own, and the stated unit where it has none."""
    names: set[str] = set()
    channels = []
    for column in columns:
        name = f"{column.name} (column {column.place + 1})" if column.name in names else column.name
        names.add(name)
        channels.append(Channel(name, column._replace(unit=column.unit or unit)))
    return tuple(channels)
