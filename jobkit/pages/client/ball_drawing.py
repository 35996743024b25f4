"""A drawing of the pads under a package, so that the damaged ones are found again under the microscope."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from jobkit.jobs.ball_array import BallArray, ball_name
from jobkit.jobs.entries import Pad
from jobkit.pages.blocks import PadMap, PadMark
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.units.phrase import phrase

WHOLE = "."

_DAMAGED = {"lifted": "L", "torn-off": "T", "mask-gone": "M"}
_MOST_APART = 25
"""So many columns fit a terminal of 80 columns with room between them."""

_REPAIRED, _LEFT_OPEN = "r", "o"

LEGEND = {
    "L": phrase("lifted"),
    "T": phrase("torn off"),
    "M": phrase("mask gone"),
    _REPAIRED: phrase("repaired"),
    _LEFT_OPEN: phrase("left open"),
}
"""What the marks of the drawing mean."""
_SHAPES = {_REPAIRED: "disc", _LEFT_OPEN: "diamond"}
"""Shapes in a picture; a pad that is damaged still is a square."""


def pad_mark(pad: Pad) -> str:
    """Give the mark of a damaged pad: what was done about it, else what is wrong with it."""
    if pad.repaired == "left-open":
        return _LEFT_OPEN
    return _REPAIRED if pad.is_repaired else _DAMAGED.get(pad.damage or "", "T")


def ball_drawing(array: BallArray, pads: Iterable[Pad]) -> tuple[str, ...]:
    """Draw the pads of an array as seen from the parts side, through the package; row A is at the top.

    >>> for line in ball_drawing(BallArray("A-B", 3), [Pad((), ball="B2", damage="torn-off")]):
    ...     print(line)
         1  2  3
     A   .  .  .
     B   .  T  .
    """
    marks = _marks(pads)
    columns = range(1, int(array.columns) + 1)
    wide = 3 if len(columns) <= _MOST_APART else 1
    rows = (
        f"{row:>2} " + "".join(marks.get((row, column), WHOLE).rjust(wide) for column in columns)
        for row in array.row_names
    )
    return *_heads(columns, wide), *rows


def pad_map(array: BallArray, pads: Iterable[Pad], about: str, lang: Language = ENGLISH) -> PadMap:
    """Picture the pads of an array, the damaged ones with their marks."""
    rows = array.row_names
    marks = [
        PadMark(
            rows.index(row),
            column - 1,
            f"{row}{column}",
            mark,
            lang.say(LEGEND[mark]),
            _SHAPES.get(mark, "square"),
        )
        for (row, column), mark in _marks(pads).items()
        if array.has(f"{row}{column}")
    ]
    return PadMap(about, rows, int(array.columns), marks)


def _heads(columns: Sequence[int], wide: int) -> Iterator[str]:
    """Write the numbers of the columns, the digits of each one below the other where a column is one wide."""
    if wide > 1:
        yield "   " + "".join(str(column).rjust(wide) for column in columns)
        return
    digits = len(str(columns[-1]))
    for place in range(digits):
        yield "   " + "".join(str(column).rjust(digits)[place] for column in columns)


def marks_used(array: BallArray, pads: Iterable[Pad], lang: Language = ENGLISH) -> tuple[str, ...]:
    """List the marks that the drawing of these pads has, each with its meaning."""
    used = {pad_mark(pad) for pad in pads if pad.ball and array.has(pad.ball)}
    return tuple(f"{mark} {lang.say(words)}" for mark, words in LEGEND.items() if mark in used)


def _marks(pads: Iterable[Pad]) -> Mapping[tuple[str, int], str]:
    return {name: pad_mark(pad) for pad in pads if (name := ball_name(pad.ball or ""))}
