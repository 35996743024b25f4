"""The time column of a log as seconds: plain numbers, clock times, or dates with times (ISO 8601)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from statistics import median

from jobkit.book.logs.numbers import read_number, read_plain_numbers
from jobkit.book.logs.trouble import LogTrouble
from jobkit.named_tuple import NamedTuple

GAP = 5
"""A step of the time is a gap if it is more than so many times the usual step of the log."""

_DAY = 86400.0
_USUAL_FROM = 101
_KEPT = 20
TIME_UNITS = {"": 1.0, "s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0}
"""The units of a time column in seconds; without one they are seconds."""
_CLOCK = re.compile(r"(?:([0-9]{1,3}):)?([0-9]{1,2}):([0-9]{2}(?:[.,][0-9]+)?)")
_DAY_FIRST = re.compile(r"([0-9]{2})\.([0-9]{2})\.([0-9]{4})(?:,? |T)([0-9].*)")


class Jump(NamedTuple):
    """A step of the time that is too long (a gap) or backwards: the line behind it, and its seconds."""

    line: int
    seconds: float

    def trouble(self) -> LogTrouble:
        """Say in words what is wrong.

        >>> Jump(12, -3.0).trouble().words()
        'line 12: the time goes back by 3 s'
        """
        if self.seconds < 0:
            return LogTrouble(self.line, f"the time goes back by {-self.seconds:g} s")
        return LogTrouble(self.line, f"nothing is recorded for {self.seconds:g} s")


class Clock:
    """Turns the cells of the time column into seconds, and finds gaps and steps backwards on the way.

    Numbers stay as they are, in seconds; clock times count from midnight, dates from the first row. `start` is the
    date and time of the first row where the log tells it. `jumps` holds the first gaps and steps backwards, and
    `jump_count` how many there are.
    """

    def __init__(self, unit: str = "", decimal: str = ".") -> None:
        self.start: datetime | None = None
        self.guesses: list[str] = []
        self.jump_count = 0
        self._unit, self._decimal = unit, decimal
        self._last: float | None = None
        self._last_clock = 0.0
        self._days = 0.0
        self._steps: list[tuple[int, float]] = []
        self._usual: float | None = None
        self._kept: list[Jump] = []
        self._back: Jump | None = None

    @property
    def back(self) -> Jump | None:
        """The first step backwards, however many gaps are before it; complete once the log has been read."""
        if self._usual is None:
            self._settle_usual_step()
        return self._back

    @property
    def jumps(self) -> tuple[Jump, ...]:
        """The first gaps and steps backwards; complete once the log has been read."""
        if self._usual is None:
            self._settle_usual_step()
        return tuple(self._kept)

    def read(self, lines: Sequence[int], cells: list[str]) -> list[float | None]:
        """Return the seconds of some rows; None where a cell is not a time."""
        plain = read_plain_numbers(cells, self._decimal)
        factor = TIME_UNITS.get(self._unit, 1.0)
        seconds: list[float | None]
        if plain is not None:
            seconds = [value * factor for value in plain]
        else:
            seconds = [self._seconds(cell, factor) for cell in cells]
        for line, value in zip(lines, seconds, strict=True):
            if value is not None:
                self._step(line, value)
        return seconds

    def _seconds(self, cell: str, factor: float) -> float | None:
        number = read_number(cell, self._decimal)
        if number is not None:
            return number * factor if number == number else None  # noqa: PLR0124 - NaN is not a time
        clock = _CLOCK.fullmatch(cell)
        return self._of_clock(*clock.groups()) if clock else self._of_date(cell)

    def _of_clock(self, hours: str | None, minutes: str, seconds: str) -> float | None:
        if hours is None:
            self._guess("time: minutes and seconds")
        elif int(minutes) > 59:
            return None
        rest = float(seconds.replace(",", "."))
        if rest >= 61:
            return None
        value = int(hours or 0) * 3600.0 + int(minutes) * 60.0 + rest
        if value < self._last_clock - _DAY / 2:
            self._days += _DAY
            self._guess("time: the clock passes midnight")
        self._last_clock = value
        return value + self._days

    def _of_date(self, cell: str) -> float | None:
        day_first = _DAY_FIRST.fullmatch(cell)
        text = "{2}-{1}-{0}T{3}".format(*day_first.groups()) if day_first else cell.replace("/", "-")
        try:
            moment = datetime.fromisoformat(text.replace(",", "."))
            if self.start is None:
                self.start = moment
            return (moment - self.start).total_seconds()
        except (ValueError, TypeError):
            # TypeError: one time has an offset from UTC, another has none.
            return None

    def _guess(self, words: str) -> None:
        if words not in self.guesses:
            self.guesses.append(words)

    def _step(self, line: int, value: float) -> None:
        if self._last is not None:
            step = value - self._last
            if self._usual is not None:
                self._judge(line, step)
            else:
                self._steps.append((line, step))
                if len(self._steps) == _USUAL_FROM:
                    self._settle_usual_step()
        self._last = value

    def _settle_usual_step(self) -> None:
        """Take the median of the first steps for the usual one, and judge these steps by it."""
        forward = [step for _, step in self._steps if step > 0]
        self._usual = median(forward) if forward else 0.0
        for line, step in self._steps:
            self._judge(line, step)
        self._steps.clear()

    def _judge(self, line: int, step: float) -> None:
        if step < 0 or step > GAP * (self._usual or 0.0) > 0:
            self.jump_count += 1
            if step < 0 and self._back is None:
                self._back = Jump(line, step)
            if len(self._kept) < _KEPT:
                self._kept.append(Jump(line, step))
