"""The geometry of charts: what is drawn where. The templates draw it as SVG, and the style sheet gives it colour.

Small drawings beside each other, each 320 units wide, so that their words can be read on a phone too.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from jobkit.pages.blocks import BarRow, Curve, Level, Mark, Strip, bars_table
from jobkit.pages.forms.chart_scale import Axis, axis_for, thinned_points, ticks

__all__ = ("bars_table", "drawn_bars", "drawn_curve", "drawn_strip")

WIDTH = 320
SHAPES = ("diamond", "disc", "triangle", "square")
"""One for each kind of mark, so that they are told apart without colour."""

_EDGE = 8
_LANE = 12
_NARROW = 70
_PARTS = 150


class Placed(NamedTuple):
    """A word and where it comes, and which of its ends is there."""

    x: float
    text: str
    anchor: str


class DrawnMark(NamedTuple):
    """A mark, the reach of its uncertainty, and its height on the strip."""

    mark: Mark
    shape: str
    x: float
    low: float
    high: float
    y: float


class DrawnStrip(NamedTuple):
    """A strip: where its limit and the usual range begin and how wide they are, its marks and the words below."""

    height: float
    foot: float
    limit: tuple[float, float] | None
    usual: tuple[float, float] | None
    marks: Sequence[DrawnMark]
    ends: Sequence[Placed]
    logarithmic: bool


class DrawnCurve(NamedTuple):
    """A course as the points of a line, its limits as heights of line and words, ticks, and its window."""

    points: str
    limits: Sequence[tuple[float, float, str]]
    across: Sequence[Placed]
    up: Sequence[tuple[float, str]]
    window: tuple[float, float] | None


class DrawnBar(NamedTuple):
    """A bar, its label and its count in words; without a height where the count is not known."""

    x: float
    y: float
    height: float
    label: str
    text: str


def drawn_strip(strip: Strip, kinds: Sequence[str]) -> DrawnStrip:
    """Place the marks of a strip, each kind in a lane of its own."""
    axis = _axis_of(strip)
    foot = _EDGE + _LANE * max(len(kinds), 1)
    low, high = strip.low, strip.high
    limit = None
    if low or high:
        limit = _span(axis, low[0] if low else axis.low, high[0] if high else axis.high)
    return DrawnStrip(
        foot + 18,
        foot,
        limit,
        _span(axis, *strip.usual) if strip.usual else None,
        [_drawn_mark(mark, kinds, axis) for mark in strip.marks],
        [_end(axis.place(end[0]), end[1], is_low=end is low) for end in (low, high) if end],
        axis.logarithmic,
    )


def _axis_of(strip: Strip) -> Axis:
    values = [value for mark in strip.marks for value in (mark.value - mark.half, mark.value + mark.half)]
    if all(mark.value > 0 for mark in strip.marks):
        values = [value for value in values if value > 0]
    values += [end[0] for end in (strip.low, strip.high) if end]
    values += strip.usual or ()
    return axis_for(values or [0.0], _EDGE, WIDTH - _EDGE, may_be_log=True)


def _span(axis: Axis, low: float, high: float) -> tuple[float, float]:
    begin = axis.place(low)
    return begin, round(max(axis.place(high) - begin, 1.0), 1)


def _drawn_mark(mark: Mark, kinds: Sequence[str], axis: Axis) -> DrawnMark:
    lane = kinds.index(mark.what) if mark.what in kinds else 0
    return DrawnMark(
        mark,
        SHAPES[lane % len(SHAPES)],
        axis.place(mark.value),
        axis.place(mark.value - mark.half),
        axis.place(mark.value + mark.half),
        _EDGE + _LANE * (lane + 0.5),
    )


def _end(x: float, text: str, *, is_low: bool) -> Placed:
    """Put the words of a limit outside it where there is room, so that the words of both ends do not meet."""
    if is_low:
        return Placed(x, text, "end" if x > _NARROW else "start")
    return Placed(x, text, "start" if x < WIDTH - _NARROW else "end")


CURVE_LEFT, CURVE_TOP, CURVE_FOOT = 40, 14, 108


def drawn_curve(curve: Curve) -> DrawnCurve | None:
    """Place the points of a course; None for a course without points."""
    points = curve.points()
    if not points:
        return None
    times = [time for time, _ in points]
    values = [*(value for _, value in points), *(level.value for level in curve.limits)]
    across = Axis(
        min(times), max(times) if max(times) > min(times) else min(times) + 1, CURVE_LEFT, WIDTH - _EDGE
    )
    up = axis_for(values, CURVE_FOOT, CURVE_TOP)
    unit, size = ("min", 60.0) if across.high - across.low >= 300 else ("s", 1.0)
    at = [tick * size for tick in ticks(across.low / size, across.high / size)]
    return DrawnCurve(
        " ".join(
            f"{across.place(time):g},{up.place(value):g}" for time, value in thinned_points(points, _PARTS)
        ),
        [_limit(level, up.place(level.value)) for level in curve.limits],
        [
            Placed(across.place(tick), _tick(tick / size, unit if tick is at[-1] else ""), "middle")
            for tick in at
        ],
        [(up.place(tick), f"{tick:g}") for tick in ticks(up.low, up.high)],
        _span(across, *curve.window) if curve.window else None,
    )


def _limit(level: Level, y: float) -> tuple[float, float, str]:
    """Put the words of a limit outside it, where the course should not be."""
    return y, y - 3 if level.is_upper else y + 10, level.text


def _tick(value: float, unit: str) -> str:
    return f"{value:g} {unit}".rstrip()


BARS_FOOT, _BARS_HIGH = 84, 64


def drawn_bars(row: BarRow) -> Sequence[DrawnBar]:
    """Place one bar for each count, from zero up."""
    known = [count for _, count in row.bars if count is not None]
    most = max([*known, 0.0]) or 1.0
    step = (WIDTH - 2 * _EDGE) / max(len(row.bars), 1)
    return [_drawn_bar(row, index, step, most) for index in range(len(row.bars))]


def _drawn_bar(row: BarRow, index: int, step: float, most: float) -> DrawnBar:
    label, count = row.bars[index]
    height = round(_BARS_HIGH * max(count or 0.0, 0.0) / most, 1)
    return DrawnBar(
        round(_EDGE + step * (index + 0.5), 1),
        round(BARS_FOOT - height, 1),
        height,
        label,
        "" if count is None else f"{count:g}",
    )
