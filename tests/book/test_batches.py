"""A few at a time: every item once, in order, none taken before its turn."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.read.batches import batches


@given(st.integers(0, 100))
def test_every_item_comes_once_and_in_its_order(count: int) -> None:
    parts = list(batches(range(count)))
    assert [item for part in parts for item in part] == list(range(count))
    assert all(parts)


def test_no_item_is_taken_before_its_batch_is_asked_for() -> None:
    taken = []

    def items() -> Iterator[int]:
        for item in range(1000):
            taken.append(item)
            yield item

    asked = batches(items())
    assert taken == []
    first = next(asked)
    assert taken == first
    assert len(first) < 100
