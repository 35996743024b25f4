"""The names that the balls of a package can have."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.ball_array import SKIPPED, BallArray, ball_name, is_row

SQUARE = {"A-AB": 22, "A-AF": 26, "A-AP": 34, "A-Y": 20}
"""Last row of square arrays and how many rows they have: packages of 484, 676, 1156 and 400 balls, JEDEC MS-034 (from
memory)."""


@pytest.mark.parametrize(("rows", "count"), SQUARE.items(), ids=SQUARE)
def test_rows_are_counted_as_the_standard_counts_them(rows: str, count: int) -> None:
    assert len(BallArray(rows, Decimal(count)).row_names) == count


def test_a_memory_package_of_eighteen_rows() -> None:
    """JESD250, GDDR6: rows A to V, 14 columns (from memory)."""
    array = BallArray("A-V", Decimal(14))
    assert len(array.row_names) == 18
    assert [
        name
        for name in ("A1", "V14", "K11", "k11", "W1", "A15", "A0", "I4", "4", "KK", "")
        if array.has(name)
    ] == [
        "A1",
        "V14",
        "K11",
        "k11",
    ]


@pytest.mark.parametrize("rows", ["V-A", "A", "A-I", "", "-", "A-AAA", "A-V-B"])
def test_rows_that_are_none_have_no_balls(rows: str) -> None:
    array = BallArray(rows, Decimal(14))
    assert (array.row_names, array.has("A1")) == ((), False)


@given(st.from_regex(r"[A-Z]{1,2}[0-9]{1,3}", fullmatch=True), st.integers(1, 60))
def test_a_ball_is_in_an_array_if_its_row_and_its_column_are(ball: str, columns: int) -> None:
    found = ball_name(ball)
    assert found is not None
    row, column = found
    assert is_row(row) == SKIPPED.isdisjoint(row)
    inside = row in BallArray("A-AP", Decimal(columns)).row_names and 1 <= column <= columns
    assert BallArray("A-AP", Decimal(columns)).has(ball) == inside
