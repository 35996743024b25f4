"""Failing channels in the words of the board, and where packages are in the drawing."""

from __future__ import annotations

import pytest

from jobkit.jobs.design import Design, Memory, Rail
from jobkit.jobs.entries import Seen
from jobkit.reckon.memory.board_map import channel_places, place_words
from jobkit.reckon.memory.failing_channels import ChannelResults, failing_in, failing_words, passed_words

PLACES = {
    "U1": "left column, 1",
    "U2": "left column, 2",
    "U3": "top row, left",
    "U4": "top row, right",
    "U5": "right column, 1",
    "U6": "right column, 2",
    "U7": "right column, 3",
    "U8": "right column, 4",
    "U9": "under the board",
}
MEMORY = tuple(
    Memory(("memory", place), part, (f"{part[1:]}L", f"{part[1:]}H"), where)
    for place, (part, where) in enumerate(PLACES.items())
)
RAILS = (
    Rail(("rail", 0), "VMEM1", feeds=("U1", "U2", "U3", "U4", "U20")),
    Rail(("rail", 1), "VMEM2", feeds=("U5", "U6", "U7", "U8")),
    Rail(("rail", 2), "V1V8", feeds=("U30",)),
)
DESIGN = Design("boards/quux.toml", "quux", rails=RAILS, memory=MEMORY)
ALL = frozenset(DESIGN.channels())


def words(failed: str, passed: str | None = None) -> str:
    bad = frozenset(failed.split())
    return failing_words(
        DESIGN, ChannelResults(bad, ALL - bad if passed is None else frozenset(passed.split()))
    )


@pytest.mark.parametrize(
    ("part", "where"),
    [
        ("U1", "left column, top"),
        ("U2", "left column, bottom"),
        ("U3", "top row, left"),
        ("U5", "right column, top"),
        ("U6", "right column, second from top"),
        ("U7", "right column, second from bottom"),
        ("U8", "right column, bottom"),
        ("U9", "under the board"),
    ],
)
def test_places_are_counted_in_the_drawing(part: str, where: str) -> None:
    package = next(one for one in MEMORY if one.part == part)
    assert place_words(DESIGN, package) == where


def test_three_in_a_row_have_a_middle_and_one_alone_is_the_side() -> None:
    three = tuple(Memory(("memory", place), f"U{place}", (), f"top row, {place}") for place in range(3))
    alone = Memory(("memory", 3), "U9", (), "left column, top")
    design = Design("boards/a.toml", "a", memory=(*three, alone))
    assert [place_words(design, one) for one in design.memory] == [
        "top row, left",
        "top row, middle",
        "top row, right",
        "left column",
    ]


@pytest.mark.parametrize(
    ("failed", "passed", "told"),
    [
        pytest.param(
            "6L 6H",
            None,
            "both channels of U6, right column, second from top; its rail VMEM2 also feeds U5, U7 and U8, which passed",
            id="a package",
        ),
        pytest.param(
            "6L",
            None,
            "6L of U6, 1 of its 2 channels, right column, second from top; 6H passed; "
            "its rail VMEM2 also feeds U5, U7 and U8, which passed",
            id="one channel",
        ),
        pytest.param(
            "6L",
            "5L",
            "6L of U6, 1 of its 2 channels, right column, second from top; 6H was not tested; "
            "its rail VMEM2 also feeds U5, U7 and U8, which passed in part",
            id="not all tested",
        ),
        pytest.param(
            "5L 6H",
            None,
            "one channel each of U5 and U6; their rail VMEM2 also feeds U7 and U8, which passed",
            id="two packages of a rail",
        ),
        pytest.param(
            "5L 5H 6L 6H 7L 7H 8L 8H",
            None,
            "all channels of U5, U6, U7 and U8, which make up the right column; their rail VMEM2 feeds no other memory",
            id="a rail and a side",
        ),
        pytest.param(
            "3L 4H",
            None,
            "one channel each of U3 and U4, which make up the top row; "
            "their rail VMEM1 also feeds U1 and U2, which passed",
            id="a side",
        ),
        pytest.param(
            "1L 6H", None, "one channel each of U1 and U6; no rail feeds them all", id="no rail in common"
        ),
        pytest.param(
            "1L 1H 2H",
            "",
            "both channels of U1; 2H of U2, 1 of its 2 channels, which make up the left column; "
            "their rail VMEM1 also feeds U3 and U4, which were not tested",
            id="unlike shares",
        ),
        pytest.param("9L 9H", None, "both channels of U9, under the board", id="no rail known"),
        pytest.param("stripes", None, "", id="no channel"),
        pytest.param("", None, "", id="nothing"),
    ],
)
def test_failing_channels_in_words(failed: str, passed: str | None, told: str) -> None:
    assert words(failed, passed) == told


def test_every_channel() -> None:
    assert words(" ".join(ALL)) == "all channels of all 9 packages; no rail feeds them all"


def test_an_entry_in_words() -> None:
    seen = Seen((), check="memory test", failed=("6L", "6H"), passed=tuple(ALL - {"6L", "6H"}))
    assert failing_in(seen, DESIGN).startswith("both channels of U6")
    assert failing_in(seen, None) == ""
    assert passed_words(seen, DESIGN) == "all 16 other channels"
    assert passed_words(Seen((), passed=("1L", "2L")), DESIGN) == "1L, 2L"
    assert passed_words(Seen((), passed=tuple(ALL)), DESIGN) == "all 18 channels"


def test_a_channel_has_part_place_rail_and_balls() -> None:
    ball = Memory(("memory", 0), "U1", ("1L", "1H"), "left column, top", (("1L", ("B4", "A3")),))
    design = Design("boards/a.toml", "a", rails=(Rail((), "VMEM", feeds=("U1",)),), memory=(ball,))
    low, high = channel_places(design)["1L"], channel_places(design)["1H"]
    assert low == ("U1", "left column", ("VMEM",), ("B4", "A3"))
    assert high.balls == ()
