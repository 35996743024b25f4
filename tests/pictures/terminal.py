"""Draw what a terminal shows as SVG."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape
from typing import NamedTuple

from wcwidth import wcswidth

CELL, LINE, MARGIN, SIZE = 7.8, 17, 14, 13
"""Width of a character, height of a line, margin and size of the font, in pixels."""

_STYLE = """\
.paper { fill: #fbfaf7; stroke: #c9c3b8; } text { fill: #1f2326; }
text { font: 13px ui-monospace, "DejaVu Sans Mono", Consolas, monospace; white-space: pre; }
.typed { fill: #8a4b1f; } .strong { font-weight: 700; }
.red { fill: #a32a00; } .yellow { fill: #7a5200; } .green { fill: #1f6b3a; }
@media (prefers-color-scheme: dark) {
  .paper { fill: #191b1d; stroke: #4a4d50; } text { fill: #e9e6e0; }
  .typed { fill: #e0a070; } .red { fill: #ff9a78; } .yellow { fill: #e8bf62; } .green { fill: #8fd3a4; }
}"""

_HUES = {"": "", "0": "", "1": "strong", "31": "red", "32": "green", "33": "yellow"}
CODE = re.compile(r"\x1b\[([0-9]*)m")


class Run(NamedTuple):
    """Characters of one colour that begin at a column."""

    column: int
    text: str
    hue: str


def runs(line: str, hue: str = "") -> Iterator[Run]:
    """Part a line at its colours and at its gaps, so that each piece begins at its own column whatever the font."""
    column = 0
    marks = [(0, 0, hue), *((code.start(), code.end(), _HUES[code[1]]) for code in CODE.finditer(line))]
    ends = [*(start for start, _, _ in marks[1:]), len(line)]
    for (_, begins, colour), ends_at in zip(marks, ends, strict=True):
        piece = line[begins:ends_at]
        for found in re.finditer(r"\S+(?: \S+)*", piece):
            yield Run(column + wcswidth(piece[: found.start()]), found[0], colour)
        column += wcswidth(piece)


def terminal_svg(title: str, command: str, printed: str) -> str:
    """Draw a command and what it prints; `title` says it to those who cannot see it."""
    lines = [(f"$ {command}", "typed"), *((line, "") for line in printed.rstrip("\n").split("\n"))]
    widest = max(wcswidth(CODE.sub("", line)) for line, _ in lines)
    wide, high = widest * CELL + 2 * MARGIN, len(lines) * LINE + 2 * MARGIN
    drawn = [
        f'<text x="{MARGIN + run.column * CELL:.1f}" y="{MARGIN + SIZE + number * LINE}"'
        f' textLength="{wcswidth(run.text) * CELL:.1f}" lengthAdjust="spacingAndGlyphs"'
        f"{_hue(run)}>{escape(run.text)}</text>"
        for number, (line, hue) in enumerate(lines)
        for run in runs(line, hue)
    ]
    return picture(title, wide, high, _STYLE, drawn)


def _hue(run: Run) -> str:
    return f' class="{run.hue}"' if run.hue else ""


def picture(title: str, wide: float, high: float, style: str, drawn: list[str]) -> str:
    """Put drawn things on paper of this size."""
    paper = f'<rect class="paper" x=".5" y=".5" width="{wide - 1:.1f}" height="{high - 1:.1f}" rx="4"/>'
    return "\n".join((
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{wide:.0f}" viewBox="0 0 {wide:.1f} {high:.1f}">',
        f"<title>{escape(title)}</title>",
        f"<style>\n{style}\n</style>",
        paper,
        *drawn,
        "</svg>\n",
    ))  # fmt: skip
