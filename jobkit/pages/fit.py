"""Fit a table to the width there is.

Cells are wrapped here and not by tabulate, which takes six times as long for it and breaks words at hyphens; tabulate
draws what fits.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from textwrap import wrap

from tabulate import MIN_PADDING, tabulate
from wcwidth import wcswidth

from jobkit.pages.blocks import Table

_GAP = 2
_NARROWEST = 8
_LONG_WORD = 20
"""A word up to this wide stays whole as long as other columns can give way: an id, a design, a kind of reading."""
_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=(?:[GMkmµunp]?(?:Ω|Hz|[VAWFH])|°C|%)(?![\w/]))")
_TIE = "\ue000"
"""Stands for a space at which no line may end, from Unicode's private use area: no text has it."""


def fitted(table: Table, width: int) -> str:
    """Draw a table; where it is too wide, the widest columns of words are wrapped, figures never."""
    narrowed = _widths(table, _columns(table), width)
    cells = [
        ["\n".join(_lines(cell, wide)) for cell, wide in zip(row, narrowed, strict=True)]
        for row in table.rows
    ]
    align = ["right" if head in table.right else "left" for head in table.heads]
    return tabulate(
        cells,
        headers=list(table.heads),
        tablefmt="simple",
        disable_numparse=True,
        colalign=align if cells else None,
    )


def _wide(text: str) -> int:
    """Tell how many columns of a terminal a text takes."""
    return len(text) if text.isascii() else wcswidth(text)


def _lines(cell: str, width: int | None) -> list[str]:
    """Part a cell into lines, none wider than `width` where that can be."""
    cell = cell.strip()
    lines = cell.split("\n") if "\n" in cell else [cell]
    if width is None or all(_wide(line) <= width for line in lines):
        return [line.strip() for line in lines]
    return [part.strip() for line in lines for part in _wrapped(line, width)]


def _wrapped(line: str, width: int) -> list[str]:
    """Part a line at its spaces, but a number from its unit only where the column is too narrow for both."""
    tied = _tied(line)
    if max(map(_wide, tied.split()), default=0) <= width:
        line = tied
    if _wide(line) == len(line):
        return [part.replace(_TIE, " ") for part in wrap(line, width)] or [""]
    parts: list[str] = []
    for word in line.split():
        if parts and _wide(parts[-1]) + 1 + _wide(word) <= width:
            parts[-1] += f" {word}"
        else:
            parts += _pieces(word, width)
    return [part.replace(_TIE, " ") for part in parts] or [""]


def _tied(line: str) -> str:
    return _BEFORE_UNIT.sub(_TIE, line)


def _pieces(word: str, width: int) -> Iterator[str]:
    """Cut a word that is wider than the column, such as a sentence in a script without spaces."""
    piece = ""
    for letter in word:
        if piece and _wide(piece + letter) > width:
            yield piece
            piece = ""
        piece += letter
    yield piece


def _columns(table: Table) -> list[int]:
    """Measure how wide each column would like to be."""
    heads = [_wide(head) + MIN_PADDING for head in table.heads]
    return [max(head, *_cell_widths(table, column)) for column, head in enumerate(heads)]


def _cell_widths(table: Table, column: int) -> list[int]:
    return [0, *(_wide(line) for row in table.rows for line in row[column].split("\n"))]


def _widths(table: Table, columns: list[int], width: int) -> list[int | None]:
    """Narrow the columns of words until all fit: down to their longest words, then as far as they go."""
    room = width - _GAP * (len(columns) - 1)
    widths = list(columns)
    if sum(widths) > room:
        words = [index for index, head in enumerate(table.heads) if head not in table.right]
        whole = {index: max(_NARROWEST, _longest_word(table, index)) for index in words}
        _narrow(widths, room, whole)
        _narrow(widths, room, dict.fromkeys(words, _NARROWEST))
    return [wide if wide < columns[index] else None for index, wide in enumerate(widths)]


def _narrow(widths: list[int], room: int, floors: dict[int, int]) -> None:
    """Take from the widest column that may still give way, again and again."""
    while sum(widths) > room:
        able = [index for index, floor in floors.items() if widths[index] > floor]
        if not able:
            return
        widths[max(able, key=lambda index: widths[index])] -= 1


def _longest_word(table: Table, column: int) -> int:
    """Measure the longest word of a column; what is longer than a name counts as one, for it can be cut."""
    cells = {row[column] for row in table.rows}
    return min(_LONG_WORD, max((_wide(word) for cell in cells for word in _tied(cell).split()), default=0))
