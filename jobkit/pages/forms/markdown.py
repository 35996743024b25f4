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

_BLANKS = re.compile("[ \t\n]+")
_ANYWHERE = re.compile(r"[\\`*_\[\]<>|~$]|&(?=#?[A-Za-z0-9]+;)|:(?=//)|(?<=www)\.", re.IGNORECASE)
"""What begins emphasis, code, links, tags, cells, struck text, formulas, entities, and addresses that become links (in
which an escape would be shown)."""
_AT_THE_START = re.compile(r"#{1,6}(?= |$)|[-+](?= |$)|-(?=[- ]*$)|[0-9]{1,9}(?=[.)](?: |$))")
"""What begins a heading, an item of a list or a rule; of a number, the mark behind it is escaped."""
_AT_THE_END = re.compile(r"(?<= )#+$")
"""What a heading may end with, and a renderer drops."""


def as_markdown(page: Page) -> str:
    """Draw a page; what a person typed is escaped, so that it is seen as it was typed."""
    return "\n\n".join(_DRAW[type(block)](block) for block in words_of(page)) + "\n"


def escaped(text: str) -> str:
    r"""Write a text so that Markdown shows it as it is.

    Source: CommonMark 0.31.2 (2.4 backslash escapes, 4.1 to 4.3 rules and headings, 5.2 list items) and GitHub Flavored
    Markdown 0.29 (tables, strikethrough).

    >>> print(escaped("1. Fan"), escaped("## x"), escaped("---"), escaped("~~x~~ &lt; R&D"), sep="; ")
    1\. Fan; \## x; \---; \~\~x\~\~ \&lt; R&D
    """
    text = _ANYWHERE.sub(r"\\\g<0>", _BLANKS.sub(" ", text).strip(" "))
    start = _AT_THE_START.match(text)
    if start:
        at = start.end() if start[0].isdigit() else 0
        text = f"{text[:at]}\\{text[at:]}"
    return _AT_THE_END.sub(r"\\\g<0>", text)


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
    """Fence the lines in; the fence is longer than any run of its letter inside."""
    longest = max((len(run) for line in block.lines for run in re.findall("`+", line)), default=0)
    fence = "`" * max(3, longest + 1)
    return "\n".join([f"{fence}text", *block.lines, fence])


_DRAW: dict[type[Block], Callable[[Any], str]] = {
    Title: _title,
    Line: _line,
    Pairs: _pairs,
    Table: _table,
    Ticks: _ticks,
    Drawing: _drawing,
    Bars: lambda block: _table(bars_table(block)),
}
