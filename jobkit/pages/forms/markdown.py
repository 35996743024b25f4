"""Draw a page as Markdown."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from jobkit.pages.blocks import (
    Bars,
    Block,
    Drawing,
    Line,
    Page,
    Pairs,
    Table,
    Ticks,
    Title,
    bars_table,
    words_of,
)

_SPECIAL = re.compile(r"([\\`*_\[\]<>|])")
_LIST = re.compile(r"^(\s*)([-+#]|[0-9]+[.)])(\s)")


def as_markdown(page: Page) -> str:
    """Draw a page; what a person typed is escaped, so that it is seen as it was typed."""
    return "\n\n".join(_DRAW[type(block)](block) for block in words_of(page)) + "\n"


def escaped(text: str) -> str:
    """Write a text so that Markdown shows it as it is."""
    text = _SPECIAL.sub(r"\\\1", " ".join(text.split("\n")))
    return _LIST.sub(r"\1\\\2\3", text)


def _title(block: Title) -> str:
    return f"{'#' * block.level} {escaped(block.text)}"


def _line(block: Line) -> str:
    return escaped(block.text)


def _pairs(block: Pairs) -> str:
    return "\n".join(f"- {escaped(label)}: {escaped(value)}" for label, value in block.pairs if value)


def _table(block: Table) -> str:
    rule = ["---:" if head in block.right else "---" for head in block.heads]
    return "\n".join([_row(block.heads), f"| {' | '.join(rule)} |", *map(_row, block.rows)])


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(map(escaped, cells))} |"


def _ticks(block: Ticks) -> str:
    return "\n".join(f"- [{'x' if done else ' '}] {escaped(what)}" for done, what in block.items)


def _drawing(block: Drawing) -> str:
    return "\n".join(["```text", *block.lines, "```"])


_DRAW: dict[type[Block], Callable[[Any], str]] = {
    Title: _title,
    Line: _line,
    Pairs: _pairs,
    Table: _table,
    Ticks: _ticks,
    Drawing: _drawing,
    Bars: lambda block: _table(bars_table(block)),
}
