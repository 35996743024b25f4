"""Tables in a narrow terminal: what may be parted and what may not. Common sense, no source."""

from __future__ import annotations

import pytest

from jobkit.pages.blocks import Table
from jobkit.pages.fit import fitted

ROW = ("demo/K26-0213", "resistance cold", "in    +13.5 Ω", "Picture only while a thumb presses the middle")


def _table(width: int, *rows: tuple[str, ...]) -> list[list[str]]:
    """Draw a table and give its rows below the rule, column by column."""
    drawn = fitted(Table(("job", "kind", "verdict", "title"), rows, right=()), width).splitlines()
    edges = [
        index
        for index, mark in enumerate(f"  {drawn[1]}")
        if mark == "-" and f"  {drawn[1]}"[index - 1] == " "
    ]
    ends = [*(edge - 2 for edge in edges[1:]), None]
    return [
        [line[edge - 2 : end].strip() for edge, end in zip(edges, ends, strict=True)] for line in drawn[2:]
    ]


@pytest.mark.parametrize("width", [60, 70, 80])
def test_names_stay_whole_while_sentences_can_give_way(width: int) -> None:
    columns = list(zip(*_table(width, ROW), strict=True))
    for text, column in zip(ROW, columns, strict=True):
        assert " ".join(" ".join(column).split()) == " ".join(text.split())
        assert {word for line in column for word in line.split()} == set(text.split())


@pytest.mark.parametrize("width", [60, 70])
def test_a_number_stays_with_its_unit(width: int) -> None:
    column = [row[2] for row in _table(width, ROW)]
    assert "+13.5 Ω" in " | ".join(column)


def test_what_is_longer_than_a_name_is_cut_where_nothing_else_helps() -> None:
    drawn = fitted(Table(("job", "title"), (("K26-0001", "x" * 90),), right=()), 40)
    assert max(map(len, drawn.splitlines())) <= 40
