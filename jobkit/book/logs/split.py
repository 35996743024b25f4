"""Lines of a log as columns of cells.

A row is one line. The plain way gives each line to the csv module; where all lines are alike and hold no quotes, the
whole block is split at once, which takes half the time of the csv module. A test holds the two equal.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence

from jobkit.book.logs.lines import Lines
from jobkit.named_tuple import NamedTuple


class Batch(NamedTuple):
    """Some rows of a log: the line of each, and the cells column by column, without spaces around them."""

    lines: Sequence[int]
    cells: list[list[str]]


class RowForm(NamedTuple):
    """What a row looks like: the separator, the header's cells, and how many of them a row must have at least."""

    separator: str
    header: tuple[str, ...]
    least: int


_SPACES = " \t\r\u00a0"

Skip = Callable[[int, str], None]
"""Takes the line of a row that cannot be read, and why."""


def split_block(block: Lines, form: RowForm, skip: Skip) -> Batch:
    """Split a block of lines into columns; rows that are not of the form go to `skip`, blank lines nowhere."""
    return _split_at_once(block, form) or split_line_by_line(block, form, skip)


def split_line_by_line(block: Lines, form: RowForm, skip: Skip) -> Batch:
    """Split each line by itself: the plain way."""
    width = len(form.header)
    lines: list[int] = []
    rows: list[list[str]] = []
    for line, text in enumerate(block.text.split("\n"), block.first):
        row = split_line(text, form.separator)
        if row is None:
            skip(line, "a quotation mark is not closed")
        elif not any(row) or tuple(row) == form.header:
            continue  # a blank line, or the header again where logs were put one behind the other
        elif len(row) < form.least or any(row[width:]):
            skip(line, f"{_cells(len(row))} where the header has {width}")
        else:
            lines.append(line)
            rows.append([*row[:width], *[""] * (width - len(row))])
    return Batch(
        lines, [list(column) for column in zip(*rows, strict=True)] if rows else [[] for _ in range(width)]
    )


def split_line(text: str, separator: str) -> list[str] | None:
    """Split one line into cells; None if a quotation mark is not closed.

    >>> split_line('0; "25,3" ;', ";")
    ['0', '25,3', '']
    """
    if '"' not in text:
        return [cell.strip() for cell in text.split(separator)]
    if text.count('"') % 2:
        return None
    # One line at a time: a stray mark cannot swallow the lines below it.
    return [cell.strip() for cell in next(csv.reader([text], delimiter=separator, skipinitialspace=True))]


def _split_at_once(block: Lines, form: RowForm) -> Batch | None:
    """Split a block whose lines all have the cells of the header; None if one may be otherwise."""
    text, separator, width = block.text, form.separator, len(form.header)
    # "channel,written,..." within the block may be the header again; cells next to spaces must be stripped.
    if width < 2 or '"' in text or separator.join(form.header) in text:
        return None
    if any(space in text for space in _SPACES if space != separator):
        return None
    # A line of separators alone is a blank line.
    if f"\n{separator * (width - 1)}\n" in f"\n{text}\n":
        return None
    cells = text.replace("\n", separator + "\n").split(separator)
    rows = text.count("\n") + 1
    if len(cells) != rows * width:
        return None
    # A line feed now begins the first cell of each line but the first. If they all are in the first column, no line
    # is longer or shorter than the others.
    first = "".join(cells[::width])
    if first.count("\n") != rows - 1:
        return None
    return Batch(
        range(block.first, block.first + rows),
        [first.split("\n"), *(cells[place::width] for place in range(1, width))],
    )


def _cells(count: int) -> str:
    return "1 cell" if count == 1 else f"{count} cells"
