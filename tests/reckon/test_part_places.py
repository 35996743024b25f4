"""Where each part is: on the board or off it."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.entries import Work
from jobkit.jobs.job import Intake
from jobkit.reckon.heat.part_places import in_order, moves, off_the_board

BEGIN = datetime(2026, 10, 8, 9, 0)


def work(*done: str) -> list[Work]:
    """Make pieces of work, an hour apart, of words like "remove U3"; "untimed" and "soldered" may follow."""
    made = []
    for number, words in enumerate(done):
        did, part, *more = words.split()
        at = None if "untimed" in more else BEGIN + timedelta(hours=number)
        made.append(
            Work(("work", number), at=at, did=did, part=part, alloy="SAC305" if "soldered" in more else None)
        )
    return made


PLACES = {
    "nothing": ((), (), ()),
    "off and on": (("remove U3", "fit U3"), (True, False), ()),
    "off and left off": (("remove U3",), (True,), ("U3",)),
    "swapped in one go": (("swap U3", "remove U3"), (True, True), ("U3",)),
    "removed twice": (("remove U3", "remove U3"), (True, False), ("U3",)),
    "fitted over itself": (("fit U3", "fit U3"), (True, True), ()),
    "two parts are two": (("remove U3", "remove U4", "fit U3"), (True, True, False), ("U4",)),
    "a fan is no soldered part": (("remove FAN1", "remove FAN1"), (), ()),
    "a fan that was soldered is": (("remove FAN1 soldered", "fit FAN1"), (True, False), ()),
    "other work moves nothing": (("clean U3", "reball U3", "prepare U3", "reflow U3"), (), ()),
    "without a time it counts where it is in the file": (
        ("remove U3 untimed", "fit U3 untimed", "remove U3"), (True, False, True), ("U3",),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("done", "were_on", "off"), PLACES.values(), ids=PLACES)
def test_where_parts_are(done: tuple[str, ...], were_on: tuple[bool, ...], off: tuple[str, ...]) -> None:
    assert tuple(move.was_on for move in moves(work(*done))) == were_on
    assert off_the_board(work(*done)) == off


def test_the_order_is_that_of_time_not_of_the_file() -> None:
    done = work("remove U3", "fit U3", "remove U3")
    assert [move.was_on for move in moves(reversed(done))] == [True, False, True]
    assert in_order(reversed(done)) == tuple(done)


def test_a_missing_part_is_off_until_it_is_fitted() -> None:
    assert off_the_board(work("fit U4"), frozenset({"U4", "C7"})) == ("C7",)
    assert [move.was_on for move in moves(work("fit U4"), frozenset({"U4"}))] == [False]


@pytest.mark.parametrize(
    ("condition", "parts"),
    [
        (("C44 missing",), {"C44"}),
        (("C44 and C45 missing, pads clean",), {"C44", "C45"}),
        (("Missing: R12",), {"R12"}),
        (("scorch mark beside Q214", "a screw is missing"), set()),
    ],
)
def test_what_was_missing_on_arrival(condition: tuple[str, ...], parts: set[str]) -> None:
    assert Intake(condition=condition).missing == parts


_DONE = st.lists(
    st.tuples(st.sampled_from(["remove", "fit", "swap", "clean"]), st.sampled_from(["U1", "U2", "FAN1"])),
    max_size=12,
)


@given(_DONE)
def test_each_move_begins_where_the_one_before_it_ended(done: list[tuple[str, str]]) -> None:
    on: dict[str, bool] = {}
    found = list(moves(work(*(" ".join(words) for words in done))))
    for move in found:
        assert move.was_on == on.get(move.part, True)
        assert (move.last is None) == (move.part not in on)
        on[move.part] = not move.is_removal
    assert off_the_board(move.work for move in found) == tuple(
        move.part for place, move in enumerate(found) if move.is_removal and _is_last(place, found)
    )


def _is_last(place: int, found: list) -> bool:  # type: ignore[type-arg]
    return all(later.part != found[place].part for later in found[place + 1 :])
