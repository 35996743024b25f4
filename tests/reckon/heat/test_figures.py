"""Figures of heatings against curves whose figures are known: crossings of a first-order rise, corners of a profile."""

from __future__ import annotations

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as some

from jobkit.reckon.heat.figures import (
    heatings_above,
    hides,
    peak_of,
    seconds_between,
    seconds_to_peak,
    seconds_within,
    spans_above,
    steepest,
)
from tests.reckon.heat.curves import SOUND, first_order, noisy, readings, through


@pytest.mark.parametrize("step", [0.1, 1.0, 5.0])
@pytest.mark.parametrize("level", [100.0, 183.0, 217.0])
def test_a_first_order_rise_crosses_when_its_formula_says(step: float, level: float) -> None:
    """T(t) = 25 + 225 (1 - exp(-t/60)) is at T after -60 ln((250 - T)/225) seconds (the first-order step response)."""
    found = spans_above(readings(first_order(25, 250, 60, 600, step)), level)
    crossing = -60 * log((250 - level) / 225)
    # A chord of length h is off by at most h²/8 of the curvature over the slope: h²/(8 τ).
    (span,) = found
    assert span.end == 600
    assert span.start == pytest.approx(crossing, abs=step**2 / 480 + 1e-6)


def test_one_time_constant_is_63_percent_of_the_rise() -> None:
    """25 + 60 (1 - 1/e) = 62.92724 (any handbook's step response)."""
    (span,) = spans_above(readings(first_order(25, 85, 40, 400, 0.5)), 62.92724)
    assert span.start == pytest.approx(40, abs=1e-3)


def test_the_steepest_rise_of_a_first_order_curve_is_its_first() -> None:
    up, _ = steepest(readings(first_order(25, 250, 60, 600)))
    assert up is not None
    assert up.rate == pytest.approx(225 * (1 - 2.718281828 ** (-10 / 60)) / 10, rel=0.02)
    assert up.at == 0


def test_the_corners_of_a_profile() -> None:
    heated = readings(through(SOUND))
    assert peak_of(heated) == (240, 255)
    up, down = steepest(heated)
    assert up is not None
    assert down is not None
    assert [up.rate, down.rate] == pytest.approx([1.0, 2.25])
    assert (up.seconds, down.seconds) == (10, 10)
    assert seconds_between(heated, 150, 200) == pytest.approx(90)
    (span,) = spans_above(heated, 217)
    assert [span.start, span.end] == pytest.approx([232, 265 + 23 / 2.25])
    assert seconds_to_peak(heated, 25) == pytest.approx(253)  # from 27 °C, 2 °C above where the log begins


@pytest.mark.parametrize("off", [-40.0, 7.0, 9.9, 40.0])
def test_one_wrong_row_makes_no_ramp(off: float) -> None:
    points = through(SOUND)
    points[100] = (100, points[100][1] + off)
    up, down = steepest(readings(points))
    assert up is not None
    assert down is not None
    assert up.rate == pytest.approx(1.0, abs=0.11)
    assert down.rate == pytest.approx(2.25, abs=0.01)


@pytest.mark.parametrize("step", [0.05, 0.2, 1.0])
def test_noise_hardly_moves_a_ramp(step: float) -> None:
    up, _ = steepest(readings(noisy(through(((0, 25), (40, 225), (60, 225)), step), 0.3)))
    assert up is not None
    assert up.rate == pytest.approx(5.0, abs=0.15)


@given(rate=some.floats(0.2, 8.0), step=some.sampled_from((0.1, 0.5, 1.0, 2.0, 5.0)))
def test_an_even_ramp_is_found_whatever_the_rows(rate: float, step: float) -> None:
    up, down = steepest(readings(through(((0, 20), (50, 20 + 50 * rate)), step)))
    assert up is not None
    assert down is not None
    assert up.rate == pytest.approx(rate, rel=1e-6)
    assert down.rate == pytest.approx(-rate, rel=1e-6)


def test_a_log_shorter_than_the_window_has_no_ramp() -> None:
    assert steepest(readings(through(((0, 25), (6, 30))))) == (None, None)


def test_heatings_are_counted_from_solid_to_solid() -> None:
    twice = through(((0, 25), (220, 245), (320, 150), (420, 245), (500, 100)))
    ripple = through(((0, 25), (220, 225), (240, 212), (260, 225), (400, 100)))
    assert heatings_above(readings(twice), 217) == 2
    assert heatings_above(readings(ripple), 217) == 1
    assert heatings_above(readings(through(((0, 25), (200, 210), (300, 25)))), 217) == 0


def test_a_hole_is_not_bridged() -> None:
    """With readings from 240 to 260 s missing, 20 s above liquidus are not counted, and the peak may be hidden."""
    points = [point for point in through(SOUND) if not 240 < point[0] < 260]
    heated = readings(points)
    (hole,) = heated.holes
    assert (hole.start, hole.end) == (240, 260)
    whole = seconds_within(spans_above(readings(through(SOUND)), 217), ())
    assert seconds_within(spans_above(heated, 217), heated.holes) == pytest.approx(whole - 20)
    assert hides(heated) == hole


def test_a_hole_in_the_cold_hides_nothing() -> None:
    heated = readings([point for point in through(SOUND) if not 10 < point[0] < 20])
    assert heated.holes
    assert hides(heated) is None


def test_a_long_hole_may_hide_a_whole_heating() -> None:
    """From 30 °C and back in 200 s at 3 °C/s there is time for 330 °C."""
    heated = readings([(float(time), 30.0) for time in (*range(50), *range(250, 300))])
    assert hides(heated) is not None
