"""The geometry of the pads under a package: a dot for a whole pad, a larger shape with a letter for a damaged one."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import PadMap, PadMark

__all__ = ("drawn_pads",)

CELL = 16
_HEAD, _SIDE = 18, 26
_CLOSE = 25
"""From so many columns on only every fifth has its number."""


class DrawnPads(NamedTuple):
    """A grid of pads: the size of the drawing, its rows and columns with their names, and the damaged pads."""

    width: int
    height: int
    rows: Sequence[tuple[float, str]]
    columns: Sequence[tuple[float, str]]
    first: float
    last: float
    marks: Sequence[tuple[float, float, PadMark]]


def drawn_pads(block: PadMap) -> DrawnPads:
    """Place the pads of a package."""
    every = 1 if block.columns <= _CLOSE else 5
    columns = [
        (_x(at), str(at + 1)) for at in range(block.columns) if every == 1 or not at or not (at + 1) % every
    ]
    return DrawnPads(
        _SIDE + CELL * block.columns,
        _HEAD + CELL * len(block.rows),
        [(_y(at), name) for at, name in enumerate(block.rows)],
        columns,
        _x(0),
        _x(block.columns - 1),
        [(_x(mark.column), _y(mark.row), mark) for mark in block.marks],
    )


def _x(column: int) -> float:
    return _SIDE + CELL * (column + 0.5)


def _y(row: int) -> float:
    return _HEAD + CELL * (row + 0.5)
