"""The geometry of charts: what is drawn where. The templates draw it as SVG, and the style sheet gives it colour.

Small drawings beside each other, each 320 units wide, so that their words can be read on a phone too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import BarRow, Mark, Strip, bars_table
from jobkit.pages.forms.chart_scale import EDGE, WIDTH, Axis, Placed, axis_for

__all__ = ("WIDTH", "bars_table", "drawn_bars", "drawn_strip")

SHAPES = ("diamond", "disc", "triangle", "square")
"""One for each kind of mark, so that they are told apart without colour."""


_LANE = 12
MANY = 60
"""More marks than these are not told one by one to those who do not see them: the table has the figures."""
_NARROW = 70


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
    foot = EDGE + _LANE * max(len(kinds), 1)
    low, high = strip.low, strip.high
    limit = None
    if low or high:
        limit = _span(axis, low[0] if low else axis.low, high[0] if high else axis.high)
    return DrawnStrip(
        foot + 18,
        foot,
        limit,
        _span(axis, *strip.usual[:2]) if strip.usual else None,
        _one_a_place(_drawn_mark(mark, kinds, axis) for mark in strip.marks),
        [_end(axis.place(end[0]), end[1], is_low=end is low) for end in (low, high) if end],
        axis.logarithmic,
    )


def _one_a_place(marks: Iterable[DrawnMark]) -> Sequence[DrawnMark]:
    """Leave out marks that another one covers wholly: of thousands of boards many read alike."""
    return list({(mark.shape, mark.x, mark.low, mark.high): mark for mark in marks}.values())


def _axis_of(strip: Strip) -> Axis:
    values = [value for mark in strip.marks for value in (mark.value - mark.half, mark.value + mark.half)]
    if all(mark.value > 0 for mark in strip.marks):
        values = [value for value in values if value > 0]
    values += [end[0] for end in (strip.low, strip.high) if end]
    values += strip.usual[:2] if strip.usual else ()
    return axis_for(values or [0.0], EDGE, WIDTH - EDGE, may_be_log=True)


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
        EDGE + _LANE * (lane + 0.5),
    )


def _end(x: float, text: str, *, is_low: bool) -> Placed:
    """Put the words of a limit outside it where there is room, so that the words of both ends do not meet."""
    if is_low:
        return Placed(x, text, "end" if x > _NARROW else "start")
    return Placed(x, text, "start" if x < WIDTH - _NARROW else "end")


BARS_FOOT, _BARS_HIGH = 84, 64


def drawn_bars(row: BarRow) -> Sequence[DrawnBar]:
    """Place one bar for each count, from zero up."""
    known = [count for _, count in row.bars if count is not None]
    most = max([*known, 0.0]) or 1.0
    step = (WIDTH - 2 * EDGE) / max(len(row.bars), 1)
    return [_drawn_bar(row, index, step, most) for index in range(len(row.bars))]


def _drawn_bar(row: BarRow, index: int, step: float, most: float) -> DrawnBar:
    label, count = row.bars[index]
    height = round(_BARS_HIGH * max(count or 0.0, 0.0) / most, 1)
    return DrawnBar(
        round(EDGE + step * (index + 0.5), 1),
        round(BARS_FOOT - height, 1),
        height,
        label,
        "" if count is None else f"{count:g}",
    )
