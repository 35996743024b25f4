"""What a whole log shows: the part under load, hottest values, dips, errors, fans."""

from __future__ import annotations

from math import isnan

import pytest

from jobkit.jobs.load_log import Column, LoadLog
from jobkit.reckon.load_run.dips import dips_of
from jobkit.reckon.load_run.loaded import interval_of, loaded_part
from jobkit.reckon.load_run.run import Run, run_of
from jobkit.reckon.statistics.series import Series
from tests.reckon.load_run.curves import first_order, noisy, ramp

NAN = float("nan")


def power(*parts: tuple[float, float], step: float = 10) -> Series:
    """Make a power over time out of parts: so many minutes at so many watts."""
    values = [watts for minutes, watts in parts for _ in range(round(60 * minutes / step))]
    return Series([row * step for row in range(len(values))], values)


@pytest.mark.parametrize(
    ("parts", "start", "minutes", "stretches"),
    [
        ([(30, 230)], 0, 29.8, 1),
        ([(5, 18), (30, 230), (10, 20)], 300, 29.8, 1),
        ([(10, 230), (0.5, 18), (10, 230)], 0, 20.3, 1),
        ([(10, 230), (2, 18), (20, 230)], 720, 19.8, 2),
        ([(20, 230), (5, 18), (30, 231), (5, 18), (60, 229)], 3600, 59.8, 3),
        ([(30, 18)], 0, 29.8, 1),
        ([(0.2, 400), (29, 230)], 0, 29.0, 1),
    ],
    ids=[
        "all of it", "idle before and after", "a scene that loads", "a pause", "three runs in a row", "never loaded",
        "a spike at the start",
    ],
)  # fmt: skip
def test_the_part_under_load(
    parts: list[tuple[float, float]], start: float, minutes: float, stretches: int
) -> None:
    series = power(*parts)
    loaded = loaded_part(series.times, series)
    assert loaded is not None
    assert (loaded.start, loaded.stretches) == (start, stretches)
    assert loaded.seconds / 60 == pytest.approx(minutes, abs=0.05)


def test_time_without_rows_is_not_time_under_load() -> None:
    series = power((30, 230))
    gone = Series([time + 600 * (time > 900) for time in series.times], series.values)
    loaded = loaded_part(gone.times, gone)
    assert loaded is not None
    assert (loaded.hole, loaded.seconds) == (610, 1780)


def test_without_power_all_of_a_log_counts_and_that_is_said() -> None:
    loaded = loaded_part([0.0, 60.0, 120.0], None)
    assert loaded is not None
    assert (loaded.seconds, loaded.by_power) == (120, False)
    assert loaded_part([], None) is None


@pytest.mark.parametrize(
    ("times", "interval"), [([], 0), ([5.0], 0), ([0, 20, 40, 45], 20), ([0, 73, 145], 73)]
)
def test_how_far_rows_are_apart(times: list[float], interval: float) -> None:
    assert interval_of(times) == interval


@pytest.mark.parametrize(
    ("values", "often", "seconds", "longest", "lowest"),
    [
        ([2000.0] * 9, 0, 0, 0, 2000),
        ([2000.0] * 5 + [300.0] + [2000.0] * 5, 1, 10, 10, 300),
        ([2000.0] * 5 + [300.0, 310.0] + [2000.0] * 5 + [1500.0], 2, 30, 20, 300),
        ([2000.0] * 5 + [1600.0] + [2000.0] * 5, 0, 0, 0, 1600),
    ],
    ids=["none", "one row", "two rows and the last", "just at the share"],
)
def test_dips(values: list[float], often: int, seconds: float, longest: float, lowest: float) -> None:
    dips = dips_of(Series([10.0 * row for row in range(len(values))], values), 10)
    assert dips is not None
    assert (dips.often, dips.seconds, dips.longest, dips.lowest) == (often, seconds, longest, lowest)
    assert dips.median == 2000


def test_the_share_below_which_a_dip_begins_can_be_told() -> None:
    series = Series([0.0, 10.0, 20.0, 30.0], [60.0, 60.0, 55.0, 60.0])
    shares = [(dips.often if (dips := dips_of(series, 10, share)) else None) for share in (0.8, 0.95)]
    assert shares == [0, 1]
    assert dips_of(Series([], []), 10) is None


def a_run(**columns: tuple[str, Series]) -> Run:
    times = next(iter(columns.values()))[1].times
    log = LoadLog(
        times,
        tuple(
            Column(
                name.replace("_", " "),
                measures,
                "",
                series.values,
                sum(isnan(value) for value in series.values),
            )
            for name, (measures, series) in columns.items()
        ),
    )
    run = run_of(log)
    assert run is not None
    return run


@pytest.mark.parametrize(
    ("values", "errors"),
    [([0, 0, 0], 0), ([0, 1, 4], 4), ([3, 3, 4], 4), ([0, 2, 0, 1], 3), ([NAN, 0, NAN, 2], 2)],
    ids=["none", "a counter", "one that began at three", "so many a row", "rows without a value"],
)
def test_errors(values: list[float], errors: int) -> None:
    run = a_run(errors=("errors", Series([20.0 * row for row in range(len(values))], values)))
    assert run.sensors[0].errors == errors


@pytest.mark.parametrize(
    ("fan", "steady"),
    [
        (noisy(ramp(1650, 0), 6, 1), "steady"),
        (first_order(745, 1650, 140), "steady"),
        (ramp(1200, 1200), "unsteady"),
        (noisy(ramp(1650, 0), 80, 1), "unsteady"),
        (ramp(0, 0, minutes=0.3), "unsteady"),
    ],
    ids=["even", "settled late", "still rising", "hunting", "two rows"],
)
def test_whether_a_fan_was_steady(fan: Series, steady: str) -> None:
    assert a_run(fan=("fan", fan)).fan == steady
    assert a_run(core=("temperature", fan)).fan == ""


def test_the_hottest_moment_may_come_after_the_load() -> None:
    watts = power((20, 230), (10, 18), step=20)
    heat = [80 + 0.01 * row for row in range(len(watts.times))]
    run = a_run(power=("power", watts), core=("temperature", Series(watts.times, heat)))
    core, drawn = run.sensor("Core"), run.sensor("power")
    assert core is not None
    assert drawn is not None
    assert core.highest_at == watts.times[-1]
    assert (drawn.lowest, drawn.highest) == (230, 230)
    assert core.settling is not None
    assert core.settling.mean == pytest.approx(80 + 0.01 * 49.5, abs=0.01)  # of the last third under load


def test_the_board_s_power_is_the_largest_of_several() -> None:
    run = a_run(memory_power=("power", ramp(40, 0)), board_power=("power", ramp(230, 0)))
    assert run.power is not None
    assert run.power.name == "board power"


def test_sensors_are_found_by_name_as_people_write_it() -> None:
    run = a_run(hot_spot=("temperature", ramp(80, 0)))
    assert run.sensor("Hot-Spot") is run.sensors[0]
    assert run.sensor("core") is None


def test_only_temperatures_have_a_time_constant_and_only_clocks_and_frames_dip() -> None:
    run = a_run(core=("temperature", first_order(25, 80, 100)), clock=("clock", ramp(2e9, 0)))
    core, clock = run.sensors
    assert (core.first_order is None, core.dips is None) == (False, True)
    assert (clock.first_order is None, clock.dips is None) == (True, False)


def test_a_column_without_values_is_left_out_and_a_log_without_rows_is_no_run() -> None:
    assert (
        a_run(core=("temperature", ramp(80, 0)), power=("power", Series([], [NAN] * 91))).sensors[0].name
        == "core"
    )
    assert run_of(LoadLog((), ())) is None


def test_a_log_that_begins_late_took_as_long_as_from_its_first_row_to_its_last() -> None:
    late = Series([1000 + 20 * row for row in range(91)], [80.0] * 91)
    run = a_run(core=("temperature", late), power=("power", late._replace(values=[230.0] * 91)))
    assert run.seconds == 1800
