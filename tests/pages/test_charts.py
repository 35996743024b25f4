"""Where things come on a drawing."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from jobkit.pages.blocks import BarRow, Curve, Level, Mark, Strip
from jobkit.pages.forms.chart_scale import axis_for, thinned_points, ticks
from jobkit.pages.forms.charts import WIDTH, drawn_bars, drawn_curve, drawn_strip

FINITE = st.floats(-1e12, 1e12)


@example([1.0, 2e-309])
@given(st.lists(FINITE, min_size=1, max_size=6))
def test_every_value_has_room_and_keeps_its_order(values: list[float]) -> None:
    axis = axis_for(values, 0, 300, may_be_log=True)
    places = [axis.place(value) for value in sorted(values)]
    assert places == sorted(places)
    assert 0 <= places[0] <= places[-1] <= 300


@given(FINITE, st.floats(1e-6, 1e12))
def test_ticks_are_within_and_evenly_apart(low: float, width: float) -> None:
    found = ticks(low, low + width)
    assert len(found) <= 6
    assert all(
        low - 1e-6 * abs(width) <= tick <= low + width * (1 + 1e-6) + 1e-6 * abs(low) for tick in found
    )


@pytest.mark.parametrize(
    ("value", "half", "places"),
    [(0.4, 0.0, "left"), (25.0, 0.0, "inside"), (100.0, 0.0, "right")],
    ids=["below", "within", "above"],
)
def test_a_mark_is_drawn_on_its_side_of_the_limit(value: float, half: float, places: str) -> None:
    strip = Strip("VMEM", [Mark("a", value, half, "")], (10.0, "10 Ω"), (60.0, "60 Ω"))
    made = drawn_strip(strip, ["a"])
    assert made.limit
    begin, end = made.limit[0], made.limit[0] + made.limit[1]
    x = made.marks[0].x
    assert ("left" if x < begin else "right" if x > end else "inside") == places


def test_an_open_end_is_a_band_to_the_edge_of_what_is_drawn() -> None:
    made = drawn_strip(Strip("V12", [Mark("a", 3000.0, 0.0, "")], low=(200.0, "200 Ω")), ["a"])
    assert made.limit
    assert made.limit[0] + made.limit[1] == WIDTH - 8
    assert made.logarithmic
    assert [end.text for end in made.ends] == ["200 Ω"]


def test_kinds_of_marks_have_lanes_and_shapes_of_their_own() -> None:
    made = drawn_strip(Strip("x", [Mark("a", 1.0, 0.0, ""), Mark("b", 1.0, 0.0, "")]), ["a", "b"])
    first, second = made.marks
    assert first.shape != second.shape
    assert first.y != second.y
    assert first.x == second.x


def test_a_course_keeps_its_peak_and_its_limit_is_above_it() -> None:
    points = [(float(time), 60.0) for time in range(3000)]
    points[1234] = (1234.0, 91.0)
    made = drawn_curve(Curve("hot spot", "°C", lambda: points, [Level(95.0, "95 °C")]))
    assert made
    peak = min(float(point.split(",")[1]) for point in made.points.split())
    assert made.limits[0][0] < peak
    assert len(made.points.split()) <= 302
    assert made.across[-1].text == "40 min"


def test_thinning_leaves_the_order_of_time() -> None:
    found = thinned_points([(float(time), float(time * 7919 % 101)) for time in range(5000)], 50)
    assert list(found) == sorted(found)


def test_a_course_without_points_is_not_drawn() -> None:
    assert drawn_curve(Curve("x", "W", list)) is None


@pytest.mark.parametrize(
    ("counts", "heights"),
    [([1.0, 2.0], [32.0, 64.0]), ([0.0, 0.0], [0.0, 0.0]), ([None, 4.0], [0.0, 64.0])],
    ids=["two", "none", "not known"],
)
def test_bars_begin_at_zero(counts: list[float | None], heights: list[float]) -> None:
    made = drawn_bars(BarRow("in", [("W1", count) for count in counts]))
    assert [bar.height for bar in made] == heights
    assert [bar.text for bar in made] == ["" if count is None else f"{count:g}" for count in counts]
