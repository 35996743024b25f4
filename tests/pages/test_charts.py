"""Where things come on a drawing."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from jobkit.jobs.ball_array import BallArray
from jobkit.jobs.entries import Pad
from jobkit.pages.blocks import BarRow, Curve, Curves, CurveStep, Level, Mark, StepCurve, Strip
from jobkit.pages.client.ball_drawing import pad_map
from jobkit.pages.forms.chart_scale import axis_for, thinned_points, ticks
from jobkit.pages.forms.charts import WIDTH, drawn_bars, drawn_strip
from jobkit.pages.forms.curve_charts import FOOT, LEFT, RIGHT, TOP, DrawnCurve, drawn_curves, drawn_steps
from jobkit.pages.forms.pad_chart import CELL, drawn_pads

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


def test_of_marks_that_cover_each_other_one_is_drawn() -> None:
    marks = [Mark("a", value, 0.0, "") for value in (1.0, 2.0, 1.0, 1.0)]
    assert len(drawn_strip(Strip("x", marks), ["a"]).marks) == 2


def test_kinds_of_marks_have_lanes_and_shapes_of_their_own() -> None:
    made = drawn_strip(Strip("x", [Mark("a", 1.0, 0.0, ""), Mark("b", 1.0, 0.0, "")]), ["a", "b"])
    first, second = made.marks
    assert first.shape != second.shape
    assert first.y != second.y
    assert first.x == second.x


def drawn(curve: Curve) -> DrawnCurve:
    return drawn_curves(Curves("", [curve]))[0]


def places(line: str) -> list[tuple[float, ...]]:
    return [tuple(map(float, point.split(","))) for point in line.split()]


def test_a_course_keeps_its_peak_and_its_limit_is_above_it() -> None:
    points = [(float(time), 60.0) for time in range(3000)]
    points[1234] = (1234.0, 91.0)
    made = drawn(Curve("hot spot", "°C", lambda: points, [Level(95.0, "95 °C")]))
    peak = min(y for _, y in places(made.lines[0]))
    assert made.levels[0].y < peak
    assert len(places(made.lines[0])) <= 302
    assert made.across[-1].text == "40 min"


def test_thinning_leaves_the_order_of_time() -> None:
    found = thinned_points([(float(time), float(time * 7919 % 101)) for time in range(5000)], 50)
    assert list(found) == sorted(found)


def test_a_course_without_points_is_not_drawn() -> None:
    for is_one_scale in (True, False):
        assert not drawn_curves(Curves("", [Curve("x", "W", list)], is_one_scale))


@pytest.mark.parametrize(
    ("counts", "heights"),
    [([1.0, 2.0], [32.0, 64.0]), ([0.0, 0.0], [0.0, 0.0]), ([None, 4.0], [0.0, 64.0])],
    ids=["two", "none", "not known"],
)
def test_bars_begin_at_zero(counts: list[float | None], heights: list[float]) -> None:
    made = drawn_bars(BarRow("in", [("W1", count) for count in counts]))
    assert [bar.height for bar in made] == heights
    assert [bar.text for bar in made] == ["" if count is None else f"{count:g}" for count in counts]


def test_courses_on_one_scale_have_equal_values_at_equal_heights() -> None:
    cold = Curve("t1", "°C", lambda: [(0.0, 20.0), (60.0, 100.0)])
    hot = Curve("t2", "°C", lambda: [(0.0, 20.0), (120.0, 240.0)])
    one, other = drawn_curves(Curves("", [cold, hot], is_one_scale=True))
    assert places(one.lines[0])[0] == places(other.lines[0])[0]
    assert (one.up, one.across) == (other.up, other.across)
    assert drawn_curves(Curves("", [cold, hot]))[0].up != one.up


def test_nothing_is_drawn_where_nothing_was_recorded() -> None:
    made = drawn(
        Curve("t1", "°C", lambda: [(float(at), 100.0) for at in (0, 5, 50, 55)], holes=[(5.0, 50.0)])
    )
    assert [len(places(line)) for line in made.lines] == [2, 2]


def test_a_window_is_as_wide_as_its_time() -> None:
    made = drawn(
        Curve("t1", "°C", lambda: [(0.0, 20.0), (100.0, 240.0)], windows=[(0.0, 50.0), (75.0, 100.0)])
    )
    assert made.windows == [(LEFT, (RIGHT - LEFT) / 2), (LEFT + 0.75 * (RIGHT - LEFT), (RIGHT - LEFT) / 4)]


def test_words_of_a_limit_are_outside_of_it_and_those_of_another_level_at_the_other_end() -> None:
    levels = [Level(245.0, "most"), Level(230.0, "least", is_upper=False), Level(217.0, "melts", None)]
    most, least, melts = drawn(Curve("t1", "°C", lambda: [(0.0, 20.0), (9.0, 235.0)], levels)).levels
    assert most.words_y < most.y
    assert least.words_y > least.y
    assert [one.words.anchor for one in (most, least, melts)] == ["end", "end", "start"]
    assert [one.sort for one in (most, least, melts)] == ["bound", "bound", "level"]


def test_what_is_between_two_limits_is_a_band() -> None:
    levels = [Level(253.0, "253 W"), Level(207.0, "207 W", is_upper=False)]
    made = drawn(Curve("power", "W", lambda: [(0.0, 0.0), (9.0, 230.0)], levels))
    assert made.band
    assert (made.band[0], made.band[0] + made.band[1]) == (made.levels[0].y, made.levels[1].y)
    assert drawn(Curve("core", "°C", lambda: [(0.0, 20.0), (9.0, 80.0)], levels[:1])).band is None


def test_a_share_falls_in_steps_from_the_top_and_its_band_ends_where_the_next_begins() -> None:
    curve = StepCurve("", "", [CurveStep(25, 0.5, (0.25, 0.75)), CurveStep(50, 0.0)], [10, 10, 30], 100)
    made = drawn_steps(curve)
    middle, quarter, half = (TOP + FOOT) / 2, LEFT + (RIGHT - LEFT) / 4, LEFT + (RIGHT - LEFT) / 2
    assert made.line == f"M{LEFT} {TOP}H{quarter:g}V{middle:g}H{half:g}V{FOOT}H{RIGHT}"
    assert [band.partition("H")[2].partition("V")[0] for band in made.bands] == [f"{half:g}"]
    assert [y for _, y in made.ended] == [TOP, middle]


def test_a_damaged_pad_is_drawn_in_its_row_and_column_with_a_shape_for_what_became_of_it() -> None:
    pads = [
        Pad((), ball="B2", damage="torn-off"),
        Pad((), ball="a1", damage="lifted", repaired="wire"),
        Pad((), ball="A2", damage="lifted", repaired="left-open"),
        Pad((), ball="Z9", damage="lifted"),
    ]
    made = drawn_pads(pad_map(BallArray("A-B", Decimal(3)), pads, "about"))
    found = {mark.ball: (mark.letter, mark.shape) for _, _, mark in made.marks}
    assert found == {"B2": ("T", "square"), "A1": ("r", "disc"), "A2": ("o", "diamond")}
    at = {mark.ball: (x, y) for x, y, mark in made.marks}
    assert (at["B2"][0] - at["A1"][0], at["B2"][1] - at["A1"][1]) == (CELL, CELL)
    assert [name for _, name in made.columns] == ["1", "2", "3"]
