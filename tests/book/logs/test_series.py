"""Logs of numbers over time: units, decimal marks, times, gaps, cells that are not numbers."""

from __future__ import annotations

import io
import math
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions
from jobkit.book.logs.numbers import read_number, read_plain_numbers, unit_scale
from jobkit.book.logs.series import Series


def read(text: str, options: LogOptions = ALL_GUESSED) -> tuple[Series, list[float], dict[str, list[float]]]:
    series = Series(io.BytesIO(text.encode()), options)
    batches = list(series.batches())
    seconds = [one for batch in batches for one in batch.seconds]
    values = {
        channel.name: [one for batch in batches for one in batch.values[place]]
        for place, channel in enumerate(series.channels)
    }
    return series, seconds, values


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("time,t1\n0,25\n5,26\n", [0, 5]),
        ("Time [ms],t1\n0,25\n500,26\n", [0, 0.5]),
        ("time (min),t1\n0,25\n1.5,26\n", [0, 90]),
        ("time;t1\n0,5;25,1\n1,0;25,2\n", [0.5, 1]),
        ("time,t1\n10:00:05,25\n10:00:06.5,26\n", [36005, 36006.5]),
        ("time,t1\n23:59:59,25\n00:00:01,26\n", [86399, 86401]),
        ("time,t1\n1:05,25\n1:06,26\n", [65, 66]),
        ("time,t1\n2026-10-22T10:05:00,25\n2026-10-22 10:05:02.5,26\n", [0, 2.5]),
        ("time,t1\n2026-10-22T23:59:59Z,25\n2026-10-23T00:00:01Z,26\n", [0, 2]),
        ("time;t1\n22.10.2026 10:05:00;25\n22.10.2026 10:05:01;26\n", [0, 1]),
        ("time,t1\n2026/10/22 10:05:00,25\n2026/10/22 10:05:01,26\n", [0, 1]),
        ("Elapsed,t1\n0,25\n1,26\n", [0, 1]),
    ],
)
def test_times(text: str, seconds: list[float]) -> None:
    series, read_seconds, _ = read(text)
    assert series.refusal is None
    assert read_seconds == pytest.approx(seconds)


def test_the_day_of_a_dated_log_is_known() -> None:
    assert read("time,t1\n2026-10-22T10:05:00,25\n")[0].clock.start == datetime(2026, 10, 22, 10, 5)
    assert read("time,t1\n10:05:00,25\n")[0].clock.start is None


@pytest.mark.parametrize(
    ("heading", "options", "cell", "value", "unit"),
    [
        ("t1", {}, "25.5", 25.5, ""),
        ("t1 [°C]", {}, "25.5", 25.5, "°C"),
        ("t1 (°F)", {}, "98.6", 37.0, "°C"),
        ("t1 (F)", {}, "212", 100.0, "°C"),
        ("t1 / K", {}, "298.15", 25.0, "°C"),
        ("t1", {"T1": "°F"}, "212", 100.0, "°C"),
        ("power (kW)", {}, "0.23", 230.0, "W"),
        ("core [mV]", {}, "850", 0.85, "V"),
        ("fan (rpm)", {}, "1200", 1200.0, "rpm"),
        ("load [%]", {}, "99", 99.0, "%"),
    ],
)
def test_units(heading: str, options: dict[str, str], cell: str, value: float, unit: str) -> None:
    series, _, values = read(f"time,{heading}\n0,{cell}\n", LogOptions(units=options))
    assert next(iter(values.values())) == pytest.approx([value], abs=1e-12)
    assert series.channels[0].unit == unit


def test_cells_that_are_not_numbers_are_told_apart_from_empty_ones() -> None:
    rows = "".join(f"{second},25.0,9\n" for second in range(100))
    series, _, values = read("time,t1,fan\n" + rows + "100,,9\n101,OL,9\n102,n/a,9\n103,25,9\n")
    channel = series.channels[0]
    assert [trouble.words() for trouble in channel.bad.examples] == [
        'line 103: "t1" is "OL", which is not a number'
    ]
    assert channel.absent == 2
    assert [math.isnan(value) for value in values["t1"][100:]] == [True, True, True, False]
    assert channel.refusal(series.log.rows) is None
    assert series.refusal is None


def test_a_column_of_too_many_bad_cells_is_refused() -> None:
    series, _, _ = read("time,t1\n0,25\n1,OL\n")
    trouble = series.channels[0].refusal(series.log.rows)
    assert trouble is not None
    assert trouble.words() == (
        'line 3: 1 of 2 cells of "t1" are not numbers, more than 5 %: "t1" is "OL", which is not a number'
    )


def test_columns_of_text_are_left_out_and_said() -> None:
    series, _, values = read("time,state,t1\n0,ramp,25\n1,soak,26\n")
    assert list(values) == ["t1"]
    assert series.guesses() == ('column "state" holds no numbers; left out',)


def test_mixed_decimal_marks_are_bad_cells() -> None:
    series, _, _ = read("time;t1\n0;25,5\n1;25,6\n2;25.7\n")
    assert series.channels[0].bad.count in (0, 1, 2)
    marks = [trouble.words() for trouble in series.channels[0].bad.examples]
    assert marks == [
        'line 2: "t1" is "25,5", which is not a number',
        'line 3: "t1" is "25,6", which is not a number',
    ]


def test_rows_without_a_time_are_skipped_with_their_line() -> None:
    rows = "".join(f"{second},25\n" for second in range(60))
    series, seconds, _ = read("time,t1\n" + rows + "later,26\n61,27\n")
    assert seconds[-1] == 61
    assert [trouble.words() for trouble in series.log.skipped.examples] == [
        'line 62: time is "later", which is not a time'
    ]


def test_gaps_and_steps_backwards_are_found() -> None:
    times = [0, 1, 2, 3, 4, 34, 35, 36, 20, 21]
    series, seconds, _ = read("time,t1\n" + "".join(f"{time},25\n" for time in times))
    assert seconds == times
    assert [jump.trouble().words() for jump in series.clock.jumps] == [
        "line 7: nothing is recorded for 30 s",
        "line 10: the time goes back by 16 s",
    ]


def test_gaps_of_a_long_log_are_found_behind_its_first_steps() -> None:
    times = [*range(300), *range(400, 700)]
    series, _, _ = read("time,t1\n" + "".join(f"{time},25\n" for time in times))
    assert [(jump.line, jump.seconds) for jump in series.clock.jumps] == [(302, 101)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the log is empty"),
        (
            "t1,t2\n1,2\n",
            (
                "line 1: no column is named time; columns of the log: t1, t2; "
                "state which column is time: --column time=HEADING"
            ),
        ),
        ("time (V),t1\n1,2\n", 'line 1: "V" is not a unit of time; s, ms, min and h are'),
        ("time\n1\n", "line 1: the log has no column of numbers beside the time"),
    ],
)
def test_what_is_no_series(text: str, words: str) -> None:
    series, _, _ = read(text)
    assert series.refusal is not None
    assert series.refusal.words() == words


NUMBER = st.one_of(
    st.from_regex(r"[+\-−]?[0-9]{1,4}([.,][0-9]{1,3})?", fullmatch=True),
    st.sampled_from(["", "n/a", "OL", "1_0", "inf", "nan", "1e3", "1e999", "٣", ".5", "5."]),
)


@given(st.lists(NUMBER, min_size=1, max_size=6), st.sampled_from(".,"))
def test_numbers_all_at_once_equal_those_one_by_one(cells: list[str], decimal: str) -> None:
    at_once = read_plain_numbers(cells, decimal)
    if at_once is not None:
        assert at_once == [read_number(cell, decimal) for cell in cells]


@given(st.floats(-1e6, 1e6))
def test_scales_keep_nan_and_unknown_units_keep_values(value: float) -> None:
    assert unit_scale("rpm").apply([value]) == [value]
    assert math.isnan(unit_scale("°F").apply([math.nan])[0])
