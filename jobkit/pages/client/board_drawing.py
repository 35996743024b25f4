"""A drawing of the memory packages round the processor, so that you do not count wrongly."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from types import MappingProxyType

from jobkit.jobs.design import Design, Memory
from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import BoardMap, Drawing, Package
from jobkit.pages.cell_width import cell_width
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.memory.board_map import SIDES, packages_by_side
from jobkit.units.phrase import phrase

MARK = "×"
"""Comes behind a channel that failed."""
_ABOUT = phrase("Seen from the parts side, the edge connector below.")


class MemoryMap(NamedTuple):
    """The drawing in characters and as a picture, and the packages whose place could not be drawn."""

    lines: tuple[str, ...]
    elsewhere: tuple[Memory, ...]
    picture: BoardMap

    @property
    def drawing(self) -> Drawing:
        """The drawing as a block."""
        return Drawing(self.lines, self.picture)


def memory_map(
    design: Design,
    failed: Collection[str] = (),
    marks: Mapping[str, str] = MappingProxyType({}),
    lang: Language = ENGLISH,
) -> MemoryMap:
    """Draw the packages as seen from the parts side with the edge connector below; mark channels that failed.

    `marks` are what is written behind the name of a part.
    """
    sides, elsewhere = packages_by_side(design)
    cells = {
        side: [_cell(package, failed, marks) for package in packages] for side, packages in sides.items()
    }
    processor = design.processor or lang.say("processor")
    mark = marks.get(processor, "")
    lines = _drawn(cells, processor + mark) if any(cells.values()) else ()
    pictured = ([_pictured(one, failed, marks) for one in sides[side]] for side in SIDES)
    picture = BoardMap(lang.say(_ABOUT), Package(processor, mark), *pictured)
    return MemoryMap(tuple(lines), tuple(elsewhere), picture)


def _pictured(package: Memory, failed: Collection[str], marks: Mapping[str, str]) -> Package:
    has_failed = not set(failed).isdisjoint(package.channels)
    mark = marks.get(package.part or "", "") + (MARK if has_failed else "")
    return Package(package.part or "", mark, _channels(package, failed))


def _drawn(sides: Mapping[str, Sequence[str]], processor: str) -> Sequence[str]:
    left, top, right, bottom = (sides[side] for side in SIDES)
    wide = max(map(cell_width, (*left, *top, *right, *bottom)))
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


def _cell(package: Memory, failed: Collection[str], marks: Mapping[str, str]) -> str:
    return f"{package.part}{marks.get(package.part or '', '')}: {_channels(package, failed)}"


def _channels(package: Memory, failed: Collection[str]) -> str:
    return " ".join(f"{channel}{MARK}" if channel in failed else channel for channel in package.channels)


def _row(cells: Sequence[str], wide: int) -> str:
    return "  ".join(
        f" {cell.ljust(wide)}" if index == 0 else cell.ljust(wide) for index, cell in enumerate(cells)
    )


def _body(processor: str, wide: int, high: int) -> list[str]:
    """Draw the processor as a block of as many lines as there are packages beside it."""
    label = {high // 2: processor}
    return [f"|{label.get(index, '').center(wide)}|" for index in range(high)]
