"""Time constants, against curves that are known and against a general-purpose fit."""

from math import exp

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from jobkit.reckon.load_run.first_order import fit_first_order
from jobkit.reckon.statistics.series import Series
from tests.reckon.load_run.curves import first_order, noisy, ramp, shown


@pytest.mark.parametrize(
    ("constants", "rise"),
    # First-order step response, any textbook of control engineering (from memory, computed and found to agree).
    [(1, 0.63212), (2, 0.86466), (3, 0.95021), (4, 0.98168), (5, 0.99326)],
)
def test_the_curve_is_the_one_of_the_textbook(constants: int, rise: float) -> None:
    fit = fit_first_order(first_order(25, 85, 100))
    assert fit is not None
    shown_then = fit.end + (fit.start - fit.end) * exp(-constants * 100 / fit.tau)
    assert (shown_then - 25) / 60 == pytest.approx(rise, abs=5e-6)


def test_a_rise_to_63_percent() -> None:
    # 25 + 60 (1 - 1/e) = 62.92724
    curve = first_order(25, 85, 120)
    fit = fit_first_order(curve)
    assert fit is not None
    assert curve.values[6] == pytest.approx(62.92724, abs=1e-5)
    assert (fit.tau, fit.end, fit.start) == pytest.approx((120, 85, 25), rel=1e-6)
    assert fit.explained == pytest.approx(1)
    assert fit.fit == "good"


def test_a_sensor_that_is_read_many_times_a_second() -> None:
    fit = fit_first_order(first_order(25, 85, 0.2, minutes=0.05, step=0.05))
    assert fit is not None
    assert (fit.tau, fit.end, fit.start) == pytest.approx((0.2, 85, 25), rel=1e-5)


@settings(deadline=None, max_examples=60)
@given(st.floats(15, 30), st.floats(-20, 80), st.floats(20, 600))
def test_any_curve_without_noise_is_found(start: float, rise: float, tau: float) -> None:
    if abs(rise) < 1:
        return
    fit = fit_first_order(first_order(start, start + rise, tau))
    assert fit is not None
    # An end of 0 °C has no relative error: a millionth of a kelvin is exact enough there.
    assert (fit.tau, fit.end, fit.start) == pytest.approx((tau, start + rise, start), rel=1e-5, abs=1e-6)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("tau", "minutes"), [(60.0, 30), (150.0, 30), (400.0, 60)])
def test_a_noisy_curve_is_fitted_as_a_reference_library_fits_it(
    seed: int, tau: float, minutes: float
) -> None:
    series = noisy(first_order(24, 84, tau, minutes=minutes, step=10), 0.4, seed)
    fit = fit_first_order(series)
    found, spread = optimize.curve_fit(
        lambda time, start, end, tau: end + (start - end) * np.exp(-time / tau),
        np.array(series.times), np.array(series.values), p0=(20, 80, 100),
    )  # fmt: skip
    assert fit is not None
    assert (fit.start, fit.end, fit.tau) == pytest.approx(tuple(found), rel=1e-5)
    # Their interval takes all residuals as independent; ours may only be wider, and here not by much.
    factor = stats.t.ppf(0.975, len(series.times) - 3)
    assert 0.99 <= fit.tau_95 / (factor * spread[2, 2] ** 0.5) <= 1.35
    assert 0.99 <= fit.end_95 / (factor * spread[1, 1] ** 0.5) <= 1.35


def test_the_interval_holds_the_true_constant_about_as_often_as_it_says() -> None:
    held = 0
    for seed in range(200):
        fit = fit_first_order(noisy(first_order(24, 84, 150, minutes=20), 0.4, seed))
        assert fit is not None
        held += abs(fit.tau - 150) <= fit.tau_95
    assert 0.90 <= held / 200 <= 0.99


@pytest.mark.parametrize(
    ("series", "fit"),
    [
        (noisy(first_order(24, 84, 150), 0.4, 1), "good"),
        (shown(first_order(24, 84, 150), 0), "good"),
        (noisy(first_order(78, 84, 150), 0.9, 1), "poor"),
        (noisy(ramp(80, 0), 0.4, 1), "poor"),
        (noisy(first_order(24, 84, 150, minutes=1, step=5), 0.4, 1), "poor"),
        (noisy(ramp(24, 100), 0.4, 1), "poor"),
    ],
    ids=["a run", "whole degrees", "already warm", "no rise at all", "one minute of it", "a straight line"],
)
def test_a_constant_is_told_only_where_the_curve_bears_it_out(series: Series, fit: str) -> None:
    found = fit_first_order(series)
    assert found is not None
    assert found.fit == fit


def test_two_time_constants_are_not_explained_by_one() -> None:
    fast, slow = first_order(0, 30, 20, step=5), first_order(25, 55, 900, step=5)
    both = Series(fast.times, [one + two for one, two in zip(fast.values, slow.values, strict=True)])
    fit = fit_first_order(both)
    assert fit is not None
    assert fit.explained < 0.95
    assert fit.fit == "poor"


@pytest.mark.parametrize(
    "series",
    [Series([], []), ramp(80, 0), ramp(80, 6, minutes=1)],
    ids=["nothing", "a value that never changes", "four rows"],
)
def test_too_little_has_no_curve(series: Series) -> None:
    assert fit_first_order(series) is None


def test_a_million_rows_give_the_same_constant() -> None:
    long = noisy(first_order(24, 84, 150, minutes=30, step=0.0018), 0.4, 1)
    fit = fit_first_order(long)
    assert len(long.times) > 1_000_000
    assert fit is not None
    assert fit.tau == pytest.approx(150, rel=1e-3)
