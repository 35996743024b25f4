"""Draw a page for a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from jobkit.pages.blocks import BarRow, Bars, Block, Drawing, Line, Page, Pairs, Table, Ticks, Title, words_of
from jobkit.pages.cell_width import cell_width
from jobkit.pages.forms.colour import Paint
from jobkit.pages.forms.sparkline import sparkline
from jobkit.pages.forms.text_table import fitted
from jobkit.pages.forms.wrapping import wrapped

_LEAST_ROOM = 18
"""So wide is the column of values at least, beside labels as long as they may be."""


def as_text(page: Page, width: int, paint: Paint) -> str:
    """Draw a page within `width` columns."""
    page = words_of(page)
    drawn = [_DRAW[type(block)](block, width, paint) for block in page]
    return "\n".join(_spaced(page, drawn)) + "\n"


def _spaced(page: Page, drawn: list[str]) -> Iterable[str]:
    """Part the blocks by an empty line, but keep a heading with what it heads."""
    for index, (block, text) in enumerate(zip(page, drawn, strict=True)):
        follows_heading = index > 0 and isinstance(page[index - 1], Title)
        if index and (not follows_heading or isinstance(block, Title)):
            yield ""
        yield text


def _title(block: Title, width: int, paint: Paint) -> str:
    return "\n".join(map(paint.strong, wrapped(block.text, width)))


def _line(block: Line, width: int, _paint: Paint) -> str:
    return "\n".join(wrapped(block.text, width))


def _pairs(block: Pairs, width: int, _paint: Paint) -> str:
    shown = [(label, value) for label, value in block.pairs if value]
    indent = max((cell_width(label) for label, _ in shown), default=0) + 2
    room = max(width - indent, _LEAST_ROOM)
    lines = []
    for label, value in shown:
        first, *more = wrapped(value, room)
        lines.append(label + " " * (indent - cell_width(label)) + first)
        lines += [" " * indent + line for line in more]
    return "\n".join(lines)


def _table(block: Table, width: int, paint: Paint) -> str:
    return paint.words(fitted(block, width))


def _ticks(block: Ticks, _width: int, _paint: Paint) -> str:
    return "\n".join(f"[{'x' if done else ' '}] {what}" for done, what in block.items)


def _drawing(block: Drawing, _width: int, _paint: Paint) -> str:
    return "\n".join(block.lines)


def _bars(block: Bars, width: int, _paint: Paint) -> str:
    """Draw each count as a line of bars from 0 to its most, then its last and its most."""
    labels = [label for label, _ in block.rows[0].bars] if block.rows else []
    span = f"{labels[0]} to {labels[-1]}" if labels else ""
    rows = [_bar_row(row) for row in block.rows]
    return fitted(Table(("", span, "last", "most", ""), rows, right=("last", "most")), width)


def _bar_row(row: BarRow) -> tuple[str, ...]:
    counts = [count for _, count in row.bars]
    known = [count for count in counts if count is not None]
    last = counts[-1] if counts else None
    figures = ("" if each is None else f"{each:g}" for each in (last, max(known, default=None)))
    return row.label, sparkline(counts, least=0.0), *figures, row.unit


_DRAW: dict[type[Block], Callable[[Any, int, Paint], str]] = {
    Title: _title,
    Line: _line,
    Pairs: _pairs,
    Table: _table,
    Ticks: _ticks,
    Drawing: _drawing,
    Bars: _bars,
}
