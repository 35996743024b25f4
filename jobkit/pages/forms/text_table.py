"""Fit a table to the width of the terminal, drawn as tabulate draws its format "simple".

Not by tabulate itself, which needs ten times as long for thousands of rows and breaks words at hyphens; a test compares
the two.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from textwrap import wrap

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Table
from jobkit.pages.cell_width import cell_width
from jobkit.pages.forms.wrapping import pieces

_GAP = 2
_HEAD_PADDING = 2
"""By how much a column is wider than its head."""
_NARROWEST = 8
_LONG_WORD = 20
"""A word up to this wide stays whole as long as other columns can give way: an id, a design, a kind of reading."""
_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=(?:[GMkmµunp]?(?:Ω|Hz|[VAWFH])|°C|%)(?![\w/]))")
_TIE = "\ue000"
"""Stands for a space at which no line may end, from Unicode's private use area: no text has it."""


class _Drawn(NamedTuple):
    """A table as lines: its head, the rule, and its rows, each as many lines as `heights` tells."""

    head: list[str]
    rule: str
    body: list[str]
    heights: list[int]


def fitted(table: Table, width: int) -> str:
    """Draw a table; where it is too wide, heads and then the widest columns of words are wrapped, figures never.

    Columns of sentences, where the table has some, go below their row instead.
    """
    if table.below and sum(_natural(table, _columns(table))) > _room(table, width):
        return "\n".join(_with_sentences_below(table, width))
    drawn = _drawn(table, width)
    return "\n".join((*drawn.head, drawn.rule, *drawn.body))


def _with_sentences_below(table: Table, width: int) -> Iterator[str]:
    """Yield the lines of a table whose sentences are below their row, past its first column."""
    kept = [at for at, head in enumerate(table.heads) if head not in table.below]
    low = [at for at, head in enumerate(table.heads) if head in table.below]
    rows = [[row[at] for at in kept] for row in table.rows]
    upper = _drawn(Table([table.heads[at] for at in kept], rows, table.right), width)
    indent = " " * (len(upper.rule.split()[0]) + _GAP)
    yield from upper.head
    yield indent + ", ".join(table.below)
    yield upper.rule
    body = iter(upper.body)
    for row, high in zip(table.rows, upper.heights, strict=True):
        yield from islice(body, high)
        for at in low:
            yield from (indent + line for line in _lines(row[at], width - len(indent)) if line)


def _drawn(table: Table, width: int) -> _Drawn:
    columns = _columns(table)
    widths = _widths(table, columns, width)
    laid = [_laid(column, wide) for column, wide in zip(columns, widths, strict=True)]
    heads = [[_lines(head, wide - _HEAD_PADDING)] for head, wide in zip(table.heads, widths, strict=True)]
    heights = _heights(laid)
    return _Drawn(*_as_lines(table, _levelled(heads, _heights(heads)), _levelled(laid, heights)), heights)


def _columns(table: Table) -> list[Sequence[str]]:
    return list(zip(*table.rows, strict=True)) if table.rows else [()] * len(table.heads)


def _laid(column: Sequence[str], width: int) -> list[list[str]]:
    """Part the cells of a column into lines; what is in several is parted once."""
    laid = {cell: _lines(cell, width) for cell in dict.fromkeys(column)}
    return [laid[cell] for cell in column]


def _heights(columns: Sequence[Sequence[list[str]]]) -> list[int]:
    return [max(map(len, row)) for row in zip(*columns, strict=True)]


def _levelled(columns: Sequence[Sequence[list[str]]], heights: Sequence[int]) -> list[list[str]]:
    """Write the lines of each column below each other, every row as many lines high as its highest cell."""
    blank = [""]
    return [
        [
            line
            for cell, high in zip(column, heights, strict=True)
            for line in cell + blank * (high - len(cell))
        ]
        for column in columns
    ]


def _as_lines(
    table: Table, heads: Sequence[Sequence[str]], columns: Sequence[Sequence[str]]
) -> tuple[list[str], str, list[str]]:
    """Give the lines of the head, the rule, and the lines below."""
    right = [head in table.right for head in table.heads]
    widths = [
        max(_widest(head) + _HEAD_PADDING, _widest(lines)) for head, lines in zip(heads, columns, strict=True)
    ]
    rule = (" " * _GAP).join("-" * wide for wide in widths)
    return list(_side_by_side(heads, widths, right)), rule, list(_side_by_side(columns, widths, right))


def _side_by_side(
    columns: Sequence[Sequence[str]], widths: Sequence[int], right: Sequence[bool]
) -> Iterator[str]:
    for row in zip(*map(_padded, columns, widths, right), strict=True):
        yield (" " * _GAP).join(row).rstrip()


def _padded(lines: Sequence[str], wide: int, to_right: bool) -> list[str]:  # noqa: FBT001 - mapped over columns
    """Bring lines to the width of their column."""
    if "".join(lines).isascii():
        return [line.rjust(wide) if to_right else line.ljust(wide) for line in lines]
    gaps = [" " * (wide - cell_width(line)) for line in lines]
    return [gap + line if to_right else line + gap for gap, line in zip(gaps, lines, strict=True)]


def _lines(cell: str, width: int) -> list[str]:
    """Part a cell into lines, none wider than `width` where that can be."""
    cell = cell.strip()
    lines = cell.split("\n") if "\n" in cell else [cell]
    if all(cell_width(line) <= width for line in lines):
        return [line.strip() for line in lines]
    return [part.strip() for line in lines for part in _wrapped(line, width)]


def _wrapped(line: str, width: int) -> list[str]:
    """Part a line at its spaces, but a number from its unit only where the column is too narrow for both."""
    tied = _tied(line)
    if max(map(cell_width, tied.split()), default=0) > width:
        tied = line
    words = tied.split()
    if cell_width(line) == len(line):
        parts = _filled(words, width) if _is_plain(line, words, width) else wrap(tied, width)
    else:
        parts = []
        for word in words:
            if parts and cell_width(parts[-1]) + 1 + cell_width(word) <= width:
                parts[-1] += f" {word}"
            else:
                parts += pieces(word, width)
    return [part.replace(_TIE, " ") for part in parts] or [""]


def _is_plain(line: str, words: Sequence[str], width: int) -> bool:
    """Tell whether a line is words with a space between, none of which has to be cut or might be."""
    return (
        "-" not in line
        and "  " not in line
        and line.isprintable()
        and max(map(len, words), default=0) <= width
    )


def _filled(words: Iterable[str], width: int) -> list[str]:
    """Fill lines with words: what `textwrap` does too in ten times the time, as it looks for many more places."""
    lines: list[str] = []
    for word in words:
        if lines and len(lines[-1]) + 1 + len(word) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _tied(line: str) -> str:
    return _BEFORE_UNIT.sub(_TIE, line)


def _room(table: Table, width: int) -> int:
    return width - _GAP * (len(table.heads) - 1)


def _natural(table: Table, columns: Sequence[Sequence[str]]) -> list[int]:
    """Tell how wide each column is where nothing is wrapped."""
    bodies = [_widest("\n".join(column).split("\n")) for column in columns]
    return [
        max(cell_width(head) + _HEAD_PADDING, body) for head, body in zip(table.heads, bodies, strict=True)
    ]


def _widths(table: Table, columns: Sequence[Sequence[str]], width: int) -> list[int]:
    """Narrow columns until all fit: first heads, then words, both to their longest word, then words without regard."""
    room = _room(table, width)
    widths = _natural(table, columns)
    if sum(widths) > room:
        bodies = [_widest("\n".join(column).split("\n")) for column in columns]
        words = [index for index, head in enumerate(table.heads) if head not in table.right]
        heads = [_longest_word([head]) + _HEAD_PADDING for head in table.heads]
        _narrow(widths, room, dict(enumerate(map(max, heads, bodies))))
        _narrow(widths, room, {at: max(_NARROWEST, heads[at], _longest_word(columns[at])) for at in words})
        _narrow(widths, room, dict.fromkeys(words, _NARROWEST))
    return widths


def _narrow(widths: list[int], room: int, floors: dict[int, int]) -> None:
    """Take from the widest column that may still give way, again and again."""
    while sum(widths) > room:
        able = [index for index, floor in floors.items() if widths[index] > floor]
        if not able:
            return
        widths[max(able, key=lambda index: widths[index])] -= 1


def _longest_word(column: Iterable[str]) -> int:
    """Measure the longest word of a column; what is longer than a name counts as one, for it can be cut."""
    return min(_LONG_WORD, _widest(_tied("\n".join(set(column))).split()))


def _widest(texts: Iterable[str]) -> int:
    return max(map(cell_width, set(texts)), default=0)
