"""Lay the drawings of a page in HTML out as one SVG, with the colours of the page."""

from __future__ import annotations

import re
from html import escape, unescape
from typing import NamedTuple

from tests.pictures.terminal import picture

_COLUMN, _GAP, _MARGIN, _LABEL = 320, 36, 18, 22
_SVG = re.compile(r'<svg role="img" viewBox="0 0 320 ([0-9.]+)">\n<title>(.*?)</title>(.*?)</svg>', re.DOTALL)


class Drawing(NamedTuple):
    """A drawing of the page: its height, its title and what is in it."""

    high: float
    title: str
    inside: str


def drawings_of(page: str) -> list[Drawing]:
    """Take the drawings out of a page, in order; descriptions stay in the page."""
    return [
        Drawing(float(high), unescape(title), re.sub(r"<desc>.*?</desc>", "", inside, flags=re.DOTALL))
        for high, title, inside in _SVG.findall(page)
    ]


def sheet(title: str, page: str) -> str:
    """Draw the drawings of a page side by side, in two columns."""
    drawn = [f'<text class="label" x="{_MARGIN}" y="{_MARGIN + 8}">{escape(title)}</text>']
    tops = [_MARGIN + 24.0, _MARGIN + 24.0]
    for number, one in enumerate(drawings_of(page)):
        side = number % 2
        x, y = _MARGIN + side * (_COLUMN + _GAP), tops[side]
        drawn.append(f'<text class="name" x="{x}" y="{y + 12:.1f}">{escape(one.title)}</text>')
        drawn.append(f'<g transform="translate({x} {y + _LABEL:.1f})">{one.inside.strip()}</g>')
        tops[side] += _LABEL + one.high + 10
    wide = 2 * (_COLUMN + _MARGIN) + _GAP
    return picture(title, wide, max(tops) + _MARGIN / 2, _style(page), drawn)


def _style(page: str) -> str:
    sheet_of_page = page.partition("<style>")[2].partition("</style>")[0]
    colours = sheet_of_page[: sheet_of_page.index("* {")].strip()
    rules = [line for line in sheet_of_page.splitlines() if line.startswith((".", "svg text"))]
    drawing = [line for line in rules if re.search(r"fill|stroke", line)]
    own = ".paper { fill: var(--paper); stroke: var(--rule); }\ntext { font-family: Calibri, 'Noto Sans', sans-serif; }"
    return "\n".join((colours, own, *drawing, "text.name { font-size: 13px; fill: var(--ink); }"))
