"""Fit a table to the width there is.

Drawn here, not by a library: ten thousand rows take a tenth of the time, and a call that draws one row need not load
one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from wcwidth import wcswidth

from jobkit.pages.blocks import Table

_GAP = 2
_NARROWEST = 8
_PAST_HEAD = 2
"""A column is so much wider than its head at least, so that heads keep apart."""


def fitted(table: Table, width: int) -> str:
    """Draw a table; where it is too wide, the widest columns of words are wrapped, figures never."""
    columns = _columns(table)
    narrowed = _widths(table, columns, width)
    cells = [[_lines(cell, wide) for cell, wide in zip(row, narrowed, strict=True)] for row in table.rows]
    heads = [[head] for head in table.heads]
    wide = [
        max(_wide(head) + _PAST_HEAD, *(_wide(line) for row in cells for line in row[column]), 0)
        for column, head in enumerate(table.heads)
    ]
    right = [bool(table.rows) and head in table.right for head in table.heads]
    rule = (" " * _GAP).join("-" * each for each in wide)
    drawn = [*_drawn(heads, wide, right), rule]
    drawn += (line for row in cells for line in _drawn(row, wide, right))
    return "\n".join(drawn)


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
    if line.isascii() or _wide(line) == len(line):
        return wrap(line, width) or [""]
    parts: list[str] = []
    for word in line.split():
        if parts and _wide(parts[-1]) + 1 + _wide(word) <= width:
            parts[-1] += f" {word}"
        else:
            parts += _pieces(word, width)
    return parts or [""]


def _pieces(word: str, width: int) -> Iterator[str]:
    """Cut a word that is wider than the column, such as a sentence in a script without spaces."""
    piece = ""
    for letter in word:
        if piece and _wide(piece + letter) > width:
            yield piece
            piece = ""
        piece += letter
    yield piece


def _drawn(row: Sequence[list[str]], wide: list[int], right: list[bool]) -> Iterator[str]:
    height = max(map(len, row))
    for at in range(height):
        line = [
            _padded(cell[at] if at < len(cell) else "", width, is_right)
            for cell, width, is_right in zip(row, wide, right, strict=True)
        ]
        yield (" " * _GAP).join(line).rstrip()


def _padded(text: str, width: int, is_right: bool) -> str:  # noqa: FBT001 - the table's own flag
    room = " " * (width - _wide(text))
    return room + text if is_right else text + room


def _columns(table: Table) -> list[int]:
    """Measure how wide each column would like to be."""
    heads = [_wide(head) + _PAST_HEAD for head in table.heads]
    return [max(head, *_cell_widths(table, column)) for column, head in enumerate(heads)]


def _cell_widths(table: Table, column: int) -> list[int]:
    return [0, *(_wide(line) for row in table.rows for line in row[column].split("\n"))]


def _widths(table: Table, columns: list[int], width: int) -> list[int | None]:
    room = width - _GAP * (len(columns) - 1)
    words = [index for index, head in enumerate(table.heads) if head not in table.right]
    widths = list(columns)
    while sum(widths) > room and words:
        widest = max(words, key=lambda index: widths[index])
        if widths[widest] <= _NARROWEST:
            break
        widths[widest] -= 1
    return [wide if wide < columns[index] else None for index, wide in enumerate(widths)]
