"""A line through a log, and how well its slope is known."""

from decimal import Decimal
from math import sqrt
from sys import float_info

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy import stats

from jobkit.reckon.load_run.line import fit_line, independent_of, slope_half_width, student_95
from jobkit.reckon.statistics.series import Series, display_step, exactly, stretches, thinned
from tests.reckon.load_run.curves import noisy, ramp, shown

FIGURES = st.floats(-200, 200, allow_nan=False).map(lambda value: round(value, 2))


@pytest.mark.parametrize("an_hour", [-40.0, 0.0, 0.5, 12.0, 600.0])
def test_a_line_without_noise_is_found_exactly(an_hour: float) -> None:
    line = fit_line(ramp(60, an_hour))
    assert line is not None
    assert line.slope * 3600 == pytest.approx(an_hour, abs=1e-9)
    assert line.mean == pytest.approx(60 + an_hour / 4, abs=1e-9)


@given(st.lists(FIGURES, min_size=3, max_size=40).filter(lambda values: len(set(values)) > 1))
def test_slope_and_spread_are_those_of_a_reference_library(values: list[float]) -> None:
    times = [7.0 * row for row in range(len(values))]
    line, known = fit_line(Series(times, values)), stats.linregress(times, values)
    assert line is not None
    assert line.slope == pytest.approx(float(known.slope), abs=1e-9)
    spread = float(np.var(times) * len(times))
    assert line.sd / sqrt(spread) == pytest.approx(float(known.stderr), abs=1e-9)


@pytest.mark.parametrize("degrees", [1, 2, 3, 5, 10, 30, 100, 200])
def test_student_s_factor_is_that_of_a_reference_library(degrees: int) -> None:
    assert student_95(degrees) == pytest.approx(stats.t.ppf(0.975, degrees), rel=1e-7)


def test_values_that_do_not_follow_each_other_keep_the_textbook_s_interval() -> None:
    # scipy's standard error of the slope times Student's factor; the residuals alternate, so that none counts as fewer.
    times = [float(row) for row in range(20)]
    values = [0.5 * time + (1 if row % 2 else -1) for row, time in enumerate(times)]
    line, known = fit_line(Series(times, values)), stats.linregress(times, values)
    assert line is not None
    assert line.independent == 20
    assert line.slope_95 == pytest.approx(stats.t.ppf(0.975, 18) * known.stderr, rel=1e-7)


@pytest.mark.parametrize(("likeness", "share"), [(0.0, 1.0), (0.5, 1 / 3), (0.8, 1 / 9)])
def test_values_that_follow_each_other_count_as_fewer(likeness: float, share: float) -> None:
    # (1 - r) / (1 + r) of them: Santer and others (2000), equation 6 (from memory).
    noise = noisy(ramp(0, 0, minutes=600, step=1), 1.0, 5, likeness)
    assert independent_of(list(noise.values)) / len(noise.values) == pytest.approx(share, rel=0.06)


@pytest.mark.parametrize("likeness", [0.0, 0.5])
def test_the_interval_holds_the_true_slope_about_as_often_as_it_says(likeness: float) -> None:
    held = 0
    for seed in range(400):
        line = fit_line(noisy(ramp(80, 3.0, minutes=20), 0.4, seed, likeness))
        assert line is not None
        held += abs(3600 * line.slope - 3.0) <= 3600 * line.slope_95
    assert 0.90 <= held / 400 <= 0.99


def test_a_display_that_never_moves_leaves_room_for_a_drift_below_its_step() -> None:
    coarse = fit_line(shown(ramp(80.2, 0.6, minutes=10), 0))
    fine = fit_line(shown(ramp(80.2, 0.0, minutes=10), 1))
    assert coarse is not None
    assert fine is not None
    # 1 - √0.05 of one step over ten minutes, in °C an hour.
    assert coarse.slope_95 * 3600 == pytest.approx(0.7764 * 6, rel=1e-3)
    assert fine.slope_95 * 3600 == pytest.approx(0.7764 * 0.6, rel=1e-3)


@pytest.mark.parametrize(
    ("times", "values"),
    [([], []), ([0.0], [1.0]), ([0.0, 1.0], [1.0, 2.0]), ([5.0, 5.0, 5.0], [1.0, 2.0, 3.0])],
    ids=["nothing", "one", "two", "all at once"],
)
def test_too_few_values_have_no_line(times: list[float], values: list[float]) -> None:
    assert fit_line(Series(times, values)) is None


def test_too_few_independent_values_leave_the_slope_all_but_unknown() -> None:
    # Student's factor of one degree of freedom is 12.706.
    assert slope_half_width(1.0, 28.0, 30, 2.5) == pytest.approx(12.706, rel=1e-4)


def test_a_long_log_gives_the_slope_of_all_its_rows() -> None:
    long = noisy(ramp(70, 4.0, minutes=600, step=0.5), 0.4, 1)
    line, known = fit_line(long), stats.linregress(long.times, long.values)
    assert line is not None
    assert len(thinned(long).times) <= 4000
    assert line.slope == pytest.approx(float(known.slope), rel=1e-4)
    assert line.slope_95 == pytest.approx(1.96 * float(known.stderr), rel=0.15)


def test_blocks_are_half_as_many_as_there_may_be_points() -> None:
    eight = Series([0, 1, 2, 3, 4, 5, 6, 7], [1, 1, 1, 5, 2, 2, 2, 2])
    assert thinned(eight, 4) == Series([1.5, 5.5], [2, 2])
    assert thinned(eight, 8) == eight


@pytest.mark.parametrize(
    ("values", "step"),
    [
        ([61.0, 62.0, 62.0], 1.0),
        ([60.0, 62.5, 60.0], 2.5),
        ([26.1, 32.2, 37.9], 0.1),
        ([1.234, 1.234], 0.001),
        ([2e-05, 3e-05], 1e-05),
        ([5.0], 1.0),
        ([60.0, 1e-308], 60.0),
        ([1e308, 0.5], 1e308),
    ],
)
def test_the_step_of_a_display(values: list[float], step: float) -> None:
    assert display_step(values) == pytest.approx(step)


@given(st.decimals("-500", "500", places=4))
def test_a_number_is_taken_as_it_was_written(value: object) -> None:
    assert exactly(float(str(value))) == value


@given(st.lists(st.booleans(), max_size=30))
def test_stretches_hold_and_what_is_between_them_does_not(holds: list[bool]) -> None:
    covered = {row for first, last in stretches(holds) for row in range(first, last + 1)}
    assert covered == {row for row, held in enumerate(holds) if held}
    assert all(not holds[first - 1] for first, _ in stretches(holds) if first)


@example(2.2250738585e-313)  # finer than a power of ten that a float can have
@given(st.floats(-1e6, 1e6) | st.floats(-1e-6, 1e-6) | FIGURES)
def test_a_value_alone_tells_its_last_digit(value: float) -> None:
    digits = 0 if value.is_integer() else -int(Decimal(repr(value)).as_tuple().exponent)
    assert display_step([value, value]) == 1 / 10 ** min(digits, float_info.max_10_exp - 1)
