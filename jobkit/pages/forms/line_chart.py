"""Curves over time in lines of text: one mark a curve, temperatures at the left, times below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

MARKS = "●○◆◇■□▲△123456789"
"""The marks of the curves, in their order."""

Point = tuple[float, float]
"""When, and how much."""


def line_chart(
    curves: Sequence[Sequence[Point]], levels: Mapping[float, str], width: int = 60, height: int = 14
) -> list[str]:
    r"""Draw curves; `levels` are drawn across as lines, with their names at the right.

    Where two curves meet, the mark of the first is seen.

    >>> print(*line_chart([[(0.0, 20.0), (10.0, 40.0)]], {}, width=3, height=2), sep="\n")
      40 ┤  ●
      20 ┤●
         └───
          0 s 10 s
    """
    points = [point for curve in curves for point in curve]
    if not points:
        return []
    values = [value for _, value in points] + list(levels)
    low, high = min(values), max(values)
    start, end = min(time for time, _ in points), max(time for time, _ in points)
    canvas = [[" "] * width for _ in range(height)]
    for level in levels:
        canvas[_place(level, high, low, height)] = ["┄"] * width
    for number in reversed(range(len(curves))):
        _draw(canvas, curves[number], MARKS[number % len(MARKS)], (start, end, low, high))
    return [*_rows(canvas, levels, (low, high)), *_axis(start, end, width)]


def _place(value: float, first: float, last: float, cells: int) -> int:
    """Give the cell of a value between `first` (cell 0) and `last`."""
    return 0 if first == last else round((value - first) / (last - first) * (cells - 1))


def _draw(
    canvas: list[list[str]], curve: Sequence[Point], mark: str, frame: tuple[float, float, float, float]
) -> None:
    start, end, low, high = frame
    for time, value in curve:
        row, column = _place(value, high, low, len(canvas)), _place(time, start, end, len(canvas[0]))
        canvas[row][column] = mark


def _rows(
    canvas: Sequence[Sequence[str]], levels: Mapping[float, str], ends: tuple[float, float]
) -> Iterator[str]:
    low, high = ends
    rows = len(canvas)
    names = {_place(level, high, low, rows): name for level, name in levels.items()}
    for number, row in enumerate(canvas):
        value = high - (high - low) * number / max(rows - 1, 1)
        name = f" {names[number]}" if number in names else ""
        yield f"{value:4.0f} ┤{''.join(row)}{name}".rstrip()


def _axis(start: float, end: float, width: int) -> Iterator[str]:
    left, right = f"{start:.0f} s", f"{end:.0f} s"
    yield f"     └{'─' * width}"
    yield f"      {left}{right.rjust(max(width - len(left), len(right) + 1))}"
