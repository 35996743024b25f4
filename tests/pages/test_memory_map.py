"""The drawing of the memory: every package once, on its side, in its order."""

from __future__ import annotations

import pytest

from jobkit.jobs.design import Design, Memory
from jobkit.pages.client.board_drawing import memory_map


def _design(*places: str | None) -> Design:
    memory = (Memory((), f"U{number}", (f"{number}L",), place) for number, place in enumerate(places, 1))
    return Design("boards/a.toml", "a", processor="U20", memory=tuple(memory))


LEFT_RIGHT = _design("right column, bottom", "right column, top", "left column, bottom", "left column, top")
ROUND = _design(
    "left column, middle",
    "top row, left",
    "top row, right",
    "right column, middle",
    "bottom row, 1",
    "bottom row, 2",
)

DRAWINGS = {
    "two columns": (LEFT_RIGHT, ["U4: 4L  |        |  U2: 2L", "U3: 3L  |  U20   |  U1: 1L"]),
    "all round": (
        ROUND,
        ["         U2: 2L  U3: 3L", "U1: 1L  |      U20       |  U4: 4L", "         U5: 5L  U6: 6L"],
    ),
    "one row only": (_design("top row, left"), [" U1: 1L", "|  U20   |"]),
}


@pytest.mark.parametrize(("design", "lines"), DRAWINGS.values(), ids=DRAWINGS)
def test_drawing(design: Design, lines: list[str]) -> None:
    assert list(memory_map(design).lines) == lines


def test_what_cannot_be_drawn_is_listed() -> None:
    drawn = memory_map(_design("under the shield", None))
    assert drawn.lines == ()
    assert [package.part for package in drawn.elsewhere] == ["U1", "U2"]
