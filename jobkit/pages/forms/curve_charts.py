"""The geometry of courses over time, and of shares that fall in steps; the templates draw it as SVG."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Curve, Curves, Level, StepCurve
from jobkit.pages.forms.chart_scale import EDGE, WIDTH, Axis, Placed, axis_for, thinned_points, ticks

__all__ = ("drawn_curves", "drawn_steps")

LEFT, RIGHT, TOP, FOOT = 40, WIDTH - EDGE, 14, 108
_PARTS = 150
Points = Sequence[tuple[float, float]]


class DrawnLevel(NamedTuple):
    """A line across a course: its height, its class, and its words with their place."""

    y: float
    sort: str
    words: Placed
    words_y: float


class DrawnCurve(NamedTuple):
    """A course as the points of lines, its levels, ticks, and where its windows begin and how wide they are.

    `band` is the top and the height of what is between a lower and an upper limit, None without both.
    """

    curve: Curve
    lines: Sequence[str]
    levels: Sequence[DrawnLevel]
    across: Sequence[Placed]
    up: Sequence[tuple[float, str]]
    windows: Sequence[tuple[float, float]]
    band: tuple[float, float] | None


def drawn_curves(block: Curves) -> Sequence[DrawnCurve]:
    """Place the points of courses, on one scale where they are to be compared; those without points are left out."""
    with_points = [(curve, points) for curve in block.curves if (points := curve.points())]
    if not block.is_one_scale:
        return [_drawn(curve, points, *_axes([(curve, points)])) for curve, points in with_points]
    if not with_points:
        return []
    across, up = _axes(with_points)
    return [_drawn(curve, points, across, up) for curve, points in with_points]


def _axes(drawn: Sequence[tuple[Curve, Points]]) -> tuple[Axis, Axis]:
    times = [time for _, points in drawn for time, _ in (points[0], points[-1])]
    values = [value for _, points in drawn for _, value in points]
    values += [level.value for curve, _ in drawn for level in curve.limits]
    first, last = min(times), max(times)
    return Axis(first, last if last > first else first + 1, LEFT, RIGHT), axis_for(values, FOOT, TOP)


def _drawn(curve: Curve, points: Points, across: Axis, up: Axis) -> DrawnCurve:
    return DrawnCurve(
        curve,
        [_line(part, across, up) for part in _between_holes(thinned_points(points, _PARTS), curve.holes)],
        [_level(level, up.place(level.value)) for level in curve.limits],
        list(_time_ticks(across)),
        [(up.place(tick), f"{tick:g}") for tick in ticks(up.low, up.high)],
        [_span(across, *window) for window in curve.windows],
        _band(curve, up),
    )


def _band(curve: Curve, up: Axis) -> tuple[float, float] | None:
    lower = [up.place(level.value) for level in curve.limits if level.is_upper is False]
    upper = [up.place(level.value) for level in curve.limits if level.is_upper]
    if not lower or not upper or min(lower) <= max(upper):
        return None
    return max(upper), round(min(lower) - max(upper), 1)


def _line(points: Points, across: Axis, up: Axis) -> str:
    return " ".join(f"{across.place(time):g},{up.place(value):g}" for time, value in points)


def _between_holes(points: Points, holes: Sequence[tuple[float, float]]) -> Iterator[Points]:
    """Part a course where nothing was recorded, so that no line is drawn there."""
    at = 0
    for _, end in sorted(holes):
        until = next((place for place in range(at, len(points)) if points[place][0] >= end), len(points))
        if until > at:
            yield points[at:until]
            at = until
    if at < len(points):
        yield points[at:]


def _level(level: Level, y: float) -> DrawnLevel:
    """Put the words of a limit at the right, outside it; those of another level at the left, where a course begins."""
    if level.is_upper is None:
        return DrawnLevel(y, "level", Placed(LEFT + 3, level.text, "start"), y + 10)
    return DrawnLevel(y, "bound", Placed(RIGHT, level.text, "end"), y - 3 if level.is_upper else y + 10)


def _time_ticks(across: Axis) -> Iterator[Placed]:
    unit, size = ("min", 60.0) if across.high - across.low >= 300 else ("s", 1.0)
    at = ticks(across.low / size, across.high / size)
    for tick in at:
        yield Placed(
            across.place(tick * size), f"{tick:g} {unit}" if tick is at[-1] else f"{tick:g}", "middle"
        )


def _span(axis: Axis, low: float, high: float) -> tuple[float, float]:
    begin = axis.place(low)
    return begin, round(max(axis.place(high) - begin, 1.0), 1)


class DrawnSteps(NamedTuple):
    """A falling share as the outline of a line and of its band, with ticks; `ended` is where boards drop out."""

    line: str
    bands: Sequence[str]
    ended: Sequence[tuple[float, float]]
    across: Sequence[Placed]
    up: Sequence[tuple[float, str]]


def drawn_steps(block: StepCurve) -> DrawnSteps:
    """Place a share that falls in steps; days across, 0 to 100 % up."""
    across, up = Axis(0.0, max(block.end, 1), LEFT, RIGHT), Axis(0.0, 1.0, FOOT, TOP)
    at = ticks(across.low, across.high)
    ends = [*(step.day for step in block.steps[1:]), block.end]
    return DrawnSteps(
        f"M{LEFT} {up.place(1.0):g}"
        + "".join(f"H{across.place(step.day):g}V{up.place(step.share):g}" for step in block.steps)
        + f"H{across.place(block.end):g}",
        [
            f"M{across.place(step.day):g} {up.place(step.band[1]):g}H{across.place(end):g}"
            f"V{up.place(step.band[0]):g}H{across.place(step.day):g}z"
            for step, end in zip(block.steps, ends, strict=True)
            if step.band
        ],
        [(across.place(day), up.place(_share_on(block, day))) for day in dict.fromkeys(block.watched_until)],
        [
            Placed(across.place(tick), f"{tick:g} days" if tick is at[-1] else f"{tick:g}", "middle")
            for tick in at
        ],
        [(up.place(tick), f"{100 * tick:g} %") for tick in (0.0, 0.5, 1.0)],
    )


def _share_on(block: StepCurve, day: int) -> float:
    return next((step.share for step in reversed(block.steps) if step.day <= day), 1.0)
