"""What is remembered of a function's last answer: nobody who asks can tell, and no more than one is kept."""

from __future__ import annotations

import gc
import weakref

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.memoise import memoise_last


class Thing:
    """Something to ask about that is equal to everything of its sort."""

    def __init__(self, number: int) -> None:
        self.number = number

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Thing)

    def __hash__(self) -> int:
        return 0


THINGS = [Thing(number) for number in range(4)]


def _product(one: Thing, other: Thing) -> int:
    return one.number * 10 + other.number


@given(st.lists(st.tuples(st.sampled_from(THINGS), st.sampled_from(THINGS))))
def test_in_any_order_of_asking_the_answers_are_those_of_the_function(
    asked: list[tuple[Thing, Thing]],
) -> None:
    remembered = memoise_last(_product)
    assert [remembered(*pair) for pair in asked] == [_product(*pair) for pair in asked]


def test_it_is_worked_out_once_as_long_as_the_same_is_asked() -> None:
    calls: list[int] = []

    @memoise_last
    def seen(one: Thing) -> int:
        calls.append(one.number)
        return one.number

    for thing in (THINGS[1], THINGS[1], THINGS[2], THINGS[1], THINGS[1]):
        assert seen(thing) == thing.number
    assert calls == [1, 2, 1]


def test_an_equal_thing_is_not_the_same() -> None:
    remembered = memoise_last(lambda one: one.number)
    assert (remembered(Thing(1)), remembered(Thing(2))) == (1, 2)


def test_only_the_last_is_held() -> None:
    remembered = memoise_last(lambda one: one.number)
    first = Thing(1)
    watched = weakref.ref(first)
    remembered(first)
    del first
    gc.collect()
    assert watched() is not None  # held, so that no other thing can come to have its identity
    remembered(Thing(2))
    gc.collect()
    assert watched() is None


def test_a_refusal_is_made_each_time() -> None:
    calls: list[int] = []

    @memoise_last
    def refuse(one: Thing) -> None:
        calls.append(one.number)
        raise ValueError

    for _ in range(2):
        with pytest.raises(ValueError, match=r"^$"):
            refuse(THINGS[0])
    assert calls == [0, 0]
