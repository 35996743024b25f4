"""Fit a table to the width there is."""

from __future__ import annotations

from tabulate import MIN_PADDING, tabulate
from wcwidth import wcswidth

from jobkit.pages.blocks import Table

_GAP = 2
_NARROWEST = 8


def fitted(table: Table, width: int) -> str:
    """Draw a table; where it is too wide, the widest columns of words are wrapped, figures never."""
    columns = _columns(table)
    align = ["right" if head in table.right else "left" for head in table.heads]
    return tabulate(
        table.rows,
        headers=list(table.heads),
        tablefmt="simple",
        disable_numparse=True,
        colalign=align if table.rows else None,
        maxcolwidths=_widths(table, columns, width) if table.rows else None,
    )


def _columns(table: Table) -> list[int]:
    """Measure how wide each column would like to be."""
    heads = [wcswidth(head) + MIN_PADDING for head in table.heads]
    return [max(head, *_cell_widths(table, column)) for column, head in enumerate(heads)]


def _cell_widths(table: Table, column: int) -> list[int]:
    return [0, *(wcswidth(line) for row in table.rows for line in row[column].split("\n"))]


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
