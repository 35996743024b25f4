"""A drawing of the memory packages round the processor, so that nobody counts wrongly."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from wcwidth import wcswidth

from jobkit.jobs.design import Design, Memory

_SIDES = ("left column", "top row", "right column", "bottom row")
_ALONG = ("left", "top", "upper middle", "middle", "lower middle", "right", "bottom")
"""Places along a side, in order from the left or the top."""


class MemoryMap(NamedTuple):
    """The drawing, and the packages whose place could not be drawn."""

    lines: tuple[str, ...]
    elsewhere: tuple[Memory, ...]


def memory_map(design: Design) -> MemoryMap:
    """Draw the packages as seen from the parts side with the edge connector below."""
    sides: dict[str, list[Memory]] = {side: [] for side in _SIDES}
    elsewhere: list[Memory] = []
    for package in design.memory:
        side = (package.place or "").partition(",")[0].strip()
        sides.get(side, elsewhere).append(package)
    for packages in sides.values():
        packages.sort(key=_along)
    lines = _drawn(sides, design.processor or "processor") if any(sides.values()) else ()
    return MemoryMap(tuple(lines), tuple(elsewhere))


def _along(package: Memory) -> tuple[int, str]:
    where = (package.place or "").partition(",")[2].strip()
    if where.isdecimal():
        return int(where), where
    return (_ALONG.index(where) if where in _ALONG else len(_ALONG)), where


def _drawn(sides: dict[str, list[Memory]], processor: str) -> Sequence[str]:
    left, top, right, bottom = (list(map(_cell, sides[side])) for side in _SIDES)
    wide = max(map(wcswidth, (*left, *top, *right, *bottom)))
    middle = max(len(top), len(bottom), 1)
    high = max(len(left), len(right), 1)
    body = _body(processor, middle * (wide + 2), high)
    margin = " " * (wide + 2 if left else 0)
    rows = [margin + _row(top, wide)] if top else []
    for index in range(high):
        begin = (left[index] if index < len(left) else "").ljust(wide) + "  " if left else ""
        end = "  " + right[index] if index < len(right) else ""
        rows.append(begin + body[index] + end)
    rows += [margin + _row(bottom, wide)] if bottom else []
    return [row.rstrip() for row in rows]


def _cell(package: Memory) -> str:
    return f"{package.part}: {' '.join(package.channels)}"


def _row(cells: Sequence[str], wide: int) -> str:
    return "  ".join(
        f" {cell.ljust(wide)}" if index == 0 else cell.ljust(wide) for index, cell in enumerate(cells)
    )


def _body(processor: str, wide: int, high: int) -> list[str]:
    """Draw the processor as a block of as many lines as there are packages beside it."""
    label = {high // 2: processor}
    return [f"|{label.get(index, '').center(wide)}|" for index in range(high)]
