"""Load logs: which column measures what, in which unit, and what of a log is refused or left out."""

from __future__ import annotations

import io
import math
from datetime import datetime

import pytest

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions
from jobkit.book.logs.load import read_load_log
from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.load_log import LoadLog


def read(text: str | bytes, options: LogOptions = ALL_GUESSED) -> LoadLog | LogTrouble:
    return read_load_log(io.BytesIO(text if isinstance(text, bytes) else text.encode()), options)


def sound(text: str | bytes, options: LogOptions = ALL_GUESSED) -> LoadLog:
    log = read(text, options)
    assert isinstance(log, LoadLog), log
    return log


@pytest.mark.parametrize(
    ("heading", "cell", "name", "measures", "unit", "value"),
    [
        ("hot spot", "87.5", "hot spot", "temperature", "°C", 87.5),
        ("Hot Spot [°C]", "87.5", "Hot Spot", "temperature", "°C", 87.5),
        ("core (°F)", "212", "core", "temperature", "°C", 100),
        ("vrm 1 / K", "373.15", "vrm 1", "temperature", "°C", 100),
        ("bridge", "57", "bridge", "temperature", "°C", 57),
        ("power", "230", "power", "power", "W", 230),
        ("board power (kW)", "0.23", "board power", "power", "W", 230),
        ("core clock", "2100", "core clock", "clock", "Hz", 2.1e9),
        ("core clock [GHz]", "2.1", "core clock", "clock", "Hz", 2.1e9),
        ("frame rate", "144.2", "frame rate", "frame rate", "fps", 144.2),
        ("frames [fps]", "144.2", "frames", "frame rate", "fps", 144.2),
        ("fan", "1650", "fan", "fan", "rpm", 1650),
        ("fan 2 (1/min)", "1650", "fan 2", "fan", "rpm", 1650),
        ("fan [%]", "55", "fan", "fan", "%", 55),
        ("12 V supply voltage [mV]", "11950", "12 V supply voltage", "voltage", "V", 11.95),
        ("memory errors", "0", "memory errors", "errors", "errors", 0),
        ("core load [%]", "99", "core load", "", "%", 99),
        ("memory used", "8100", "memory used", "", "", 8100),
        ("quux", "1", "quux", "", "", 1),
    ],
)
def test_a_column_is_known_by_its_unit_else_by_its_name(
    heading: str, cell: str, name: str, measures: str, unit: str, value: float
) -> None:
    column = sound(f"time,{heading}\n0,{cell}\n1,{cell}\n").columns[0]
    assert (column.name, column.measures, column.unit) == (name, measures, unit)
    assert list(column.values) == pytest.approx([value, value])


def test_a_unit_may_be_stated_instead() -> None:
    log = sound("time,core,quux\n0,212,3\n", LogOptions(units={"core": "°F", "quux": "V"}))
    assert [(one.measures, one.unit, list(one.values)) for one in log.columns] == [
        ("temperature", "°C", [100.0]),
        ("voltage", "V", [3.0]),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "time,core (°C),power (W)\n0,25.5,18\n20,32.1,229\n",
        "time;core [°C];power [W]\n0;25,5;18\n20;32,1;229\n",
        "time\tcore (°C)\tpower (W)\r\n0\t25.5\t18\r\n20\t32.1\t229\r\n",
        "sep=;\ntime;core (°C);power (W)\n0;25.5;18\n20;32.1;229\n",
        "# begun by hand\ntime,core (°C),power (W),state\n0,25.5,18,idle\n20,32.1,229,loaded\n",
        "time,core (°C),power (W)\n10:00:00,25.5,18\n10:00:20,32.1,229\n",
        "﻿time,core (°F),power (kW)\n0,77.9,0.018\n20,89.78,0.229\n",
    ],
    ids=[
        "plain",
        "local numbers",
        "tabs",
        "stated separator",
        "remarks and states",
        "clock times",
        "other units",
    ],
)
def test_whatever_way_it_is_written_it_says_the_same(text: str) -> None:
    log = sound(text)
    assert list(log.times) == [0, 20]
    assert [list(column.values) for column in log.columns] == [
        pytest.approx([25.5, 32.1]),
        pytest.approx([18, 229]),
    ]


def test_utf_16_is_read_too() -> None:
    assert sound("time,core (°C)\n0,25\n".encode("utf-16")).columns[0].unit == "°C"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the log is empty"),
        ("time,core\n", "the log has a header and no rows"),
        ("0,25\n20,32\n", "line 1: the log begins with numbers, not with the names of its columns; name its columns"),
        (
            "core,power\n25,18\n",
            (
                "line 1: no column is named time; columns of the log: core, power; "
                "state which column is time: --column time=HEADING"
            ),
        ),
        ("time\n0\n", "line 1: the log has no column of numbers beside the time"),
        ("time,state\n0,idle\n", "line 1: the log has no column of numbers beside the time"),
        (
            "time,core\n0,25\n20,32\n10,40\n",
            "line 4: the time goes back by 10 s; cut the log in two there, or correct its times",
        ),
        (
            "time,core\n"
            + "".join(f"{time},25\n" for time in (*range(100), *range(100, 2600, 100)))
            + "0,25\n",
            "line 127: the time goes back by 2500 s; cut the log in two there, or correct its times",
        ),
    ],
    ids=[
        "empty", "no rows", "no header", "no time", "time alone", "no numbers", "two logs in one", "behind many gaps"
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_refused_with_its_line(text: str, words: str) -> None:
    trouble = read(text)
    assert isinstance(trouble, LogTrouble)
    assert trouble.words() == words


def test_bytes_that_are_not_a_text_are_refused() -> None:
    trouble = read(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x04\0\0\0")
    assert isinstance(trouble, LogTrouble)
    assert trouble.message == "the log is not a text file"


def test_a_log_that_ends_in_the_middle_of_a_line_loses_that_line_and_says_so() -> None:
    rows = "".join(f"{second},{80 + second % 2},230\n" for second in range(60))
    log = sound(f"time,core (°C),power (W)\n{rows}60,8")
    assert len(log.times) == 60
    assert log.notes == ("1 row skipped: line 62: 2 cells where the header has 3",)


def test_cells_without_a_value_are_gaps() -> None:
    log = sound("time,core (°C),power (W)\n0,25,\n20,n/a,229\n40,30,231\n")
    core, power = log.columns
    assert (core.gaps, power.gaps) == (1, 1)
    assert math.isnan(core.values[1])


def test_a_column_that_is_mostly_text_is_left_out_and_named() -> None:
    rows = "".join(f"{row},{80 if row % 3 else 'ERR'},230\n" for row in range(1, 40))
    log = sound(f"time,core (°C),power (W)\n{rows}")
    assert [column.name for column in log.columns] == ["power"]
    assert any('column "core" left out' in note for note in log.notes)


def test_what_was_taken_for_granted_is_said() -> None:
    assert sound("time,core,hot spot,power\n0,1,2,3\n").notes == (
        "the header names no units; read as core, hot spot in °C; power in W",
    )


def test_the_log_s_own_day_is_known() -> None:
    log = sound("time,core\n2026-10-23T09:00:00,25\n2026-10-23T09:00:20,26\n")
    assert (log.begun, list(log.times)) == (datetime(2026, 10, 23, 9), [0, 20])
    assert list(sound("time,core\n3600,25\n3620,26\n").times) == [0, 20]
