"""Thermocouple logs: units, clocks, cells that hold no number, and what is refused with its line."""

from __future__ import annotations

import io
import math
from datetime import datetime
from typing import Any

import pytest

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions
from jobkit.book.logs.thermocouple import read_heat_log
from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.heat_log import HeatLog


def read(text: str, options: LogOptions = ALL_GUESSED) -> HeatLog | LogTrouble:
    return read_heat_log(io.BytesIO(text.encode()), options)


def sound(text: str, options: LogOptions = ALL_GUESSED) -> HeatLog:
    log = read(text, options)
    assert isinstance(log, HeatLog), log
    return log


@pytest.mark.parametrize(
    ("header", "cells", "options"),
    [
        ("time,t1 (°C)", ("100", "150", "200"), ALL_GUESSED),
        ("time,t1 [°F]", ("212", "302", "392"), ALL_GUESSED),
        ("time,t1 °F", ("212", "302", "392"), ALL_GUESSED),
        ("time,t1 deg F", ("212", "302", "392"), ALL_GUESSED),
        ("time,t1 (℉)", ("212", "302", "392"), ALL_GUESSED),
        ("time,t1 (F)", ("212", "302", "392"), ALL_GUESSED),
        ("time,t1", ("212", "302", "392"), LogOptions(unit="°F")),
        ("time,t1", ("212", "302", "392"), LogOptions(units={"t1": "°F"})),
        ("time,t1 / K", ("373.15", "423.15", "473.15"), ALL_GUESSED),
    ],
)
def test_temperatures_in_any_unit(header: str, cells: tuple[str, ...], options: LogOptions) -> None:
    """212 °F is 100 °C, 392 °F is 200 °C (NIST SP 811, B.8)."""
    log = sound("\n".join([header, *(f"{row},{cell}" for row, cell in enumerate(cells))]), options)
    assert list(log.columns[0].values) == pytest.approx([100, 150, 200])


@pytest.mark.parametrize(
    ("times", "begun"),
    [
        (("0", "1", "2"), None),
        (("10:00:00", "10:00:01", "10:00:02"), None),
        (("2026-10-23T08:00:00", "2026-10-23T08:00:01", "2026-10-23T08:00:02"), datetime(2026, 10, 23, 8)),
    ],
    ids=["seconds", "clock", "date"],
)
def test_seconds_or_a_clock(times: tuple[str, ...], begun: datetime | None) -> None:
    log = sound("\n".join(["time,t1 (°C)", *(f"{time},{25 + row}" for row, time in enumerate(times))]))
    assert list(log.times) == [0, 1, 2]
    assert log.begun == begun


def test_decimal_commas() -> None:
    log = sound("time;t1 (°C)\n0;25,5\n1;26,5\n2;27,5\n")
    assert list(log.columns[0].values) == [25.5, 26.5, 27.5]


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("", 0, "the log is empty"),
        ("time,t1\n", 0, "no rows"),
        ("time,t1\n0,25\n", 0, "the log has 1 row, too few to show a heating"),
        ("time,t1\n0,25\n20,26\n10,27\n", 4, "the time goes back by 10 s"),
        ("t1,t2\n25,26\n", 1, "no column is named time"),
        ("time,note\n0,warm\n1,warm\n2,hot\n", 1, "no column of numbers"),
        ("time,power (W)\n0,1\n1,2\n2,3\n", 1, "no column of temperatures"),
        ("time,t1\n0,25\n1,x\n2,y\n", 3, "2 of 3 cells"),
        ("time;t1\n0;25,5\n1;26.5\n2;27.5\n3;28.5\n", 2, "are not numbers"),
    ],
    ids=[
        "empty",
        "header",
        "one row",
        "back",
        "no time",
        "text",
        "no temperature",
        "text in a column",
        "mixed marks",
    ],
)
def test_what_is_refused_and_where(text: str, line: int, message: str) -> None:
    trouble = read(text)
    assert isinstance(trouble, LogTrouble)
    assert (trouble.line, message in trouble.message) == (line, True), trouble


def test_too_many_rows_are_refused_with_the_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("jobkit.book.logs.thermocouple.MOST", 50)
    trouble = read("time,t1\n" + "".join(f"{row},25\n" for row in range(60)))
    assert isinstance(trouble, LogTrouble)
    assert (trouble.message, trouble.line > 50) == ("the log has more than 50 rows", True)


class TenMillionRows(io.RawIOBase):
    """A log that is made while it is read; `read_so_far` counts its bytes."""

    def __init__(self) -> None:
        self.row, self.read_so_far, self._left = 0, 0, b"time,t1 (\xc2\xb0C)\n"

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        while len(self._left) < len(buffer) and self.row < 10_000_000:
            rows = range(self.row, self.row + 1000)
            self._left += "".join(f"{row / 10:.1f},{25 + row % 200}\n" for row in rows).encode()
            self.row += 1000
        piece, self._left = self._left[: len(buffer)], self._left[len(buffer) :]
        buffer[: len(piece)] = piece
        self.read_so_far += len(piece)
        return len(piece)


def test_ten_million_rows_are_not_read_to_their_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading stops within a block behind the last row that is allowed, so memory holds no more than that."""
    monkeypatch.setattr("jobkit.book.logs.thermocouple.MOST", 20_000)
    stream = TenMillionRows()
    trouble = read_heat_log(io.BufferedReader(stream))
    assert isinstance(trouble, LogTrouble)
    assert trouble.message == "the log has more than 20000 rows"
    assert 20_000 < trouble.line < 70_000
    assert stream.read_so_far < 1_000_000


def test_a_column_of_text_is_told_beside_a_sound_one() -> None:
    log = sound("time,t1 (°C),t2 (°C)\n0,25,25\n1,26,x\n2,27,y\n")
    assert [one.name for one in log.columns] == ["t1", "t2"]
    assert "2 of 3 cells" in log.columns[1].refused


def test_empty_cells_are_counted_and_said() -> None:
    rows = "".join(f"{row},{25 + row},{'' if row % 20 == 3 else 30 + row}\n" for row in range(60))
    log = sound(f"time,t1 (°C),t2 (°C)\n{rows}")
    assert sum(map(math.isnan, log.columns[1].values)) == 3
    assert '3 cells hold no value in column "t2"' in log.notes


def test_gaps_are_said_with_their_lines() -> None:
    rows = "".join(f"{row if row < 50 else row + 30},{25 + row}\n" for row in range(100))
    assert "line 52: nothing is recorded for 31 s" in sound(f"time,t1 (°C)\n{rows}").notes


def test_a_log_without_units_that_begins_like_fahrenheit() -> None:
    notes = sound("time,t1\n0,77\n1,80\n2,90\n").notes
    assert "the header names no unit for t1; read as °C" in notes
    assert any("if that is °F, say so with --unit °F" in note for note in notes)


def test_a_column_of_another_quantity_is_left_out_and_said() -> None:
    log = sound("time,t1 (°C),heater (W)\n0,25,400\n1,26,400\n2,27,400\n")
    assert [one.name for one in log.columns] == ["t1"]
    assert 'column "heater" is in W, which is not a temperature; left out' in log.notes
