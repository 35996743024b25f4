"""The drawings of a board and of the pads under a package."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

import pytest

from jobkit.jobs.ball_array import BallArray
from jobkit.jobs.design import Design, Memory, Package
from jobkit.jobs.entries import Pad, Seen
from jobkit.jobs.job import Job
from jobkit.pages.bench.parts import PartsView, part_blocks, parts_data
from jobkit.pages.blocks import Drawing, Line, Table
from jobkit.pages.client.ball_drawing import ball_drawing, pad_mark
from jobkit.reckon.heat.part_states import DONOR, NEW, OFF, PartState

ARRAY = BallArray("G-K", Decimal(4))
DESIGN = Design(
    "boards/a.toml",
    "a",
    processor="U10",
    packages=(Package((), "U2", array=ARRAY),),
    memory=(
        Memory((), "U1", ("1L", "1H"), "left column, top"),
        Memory((), "U2", ("2L", "2H"), "right column, top"),
    ),
)
AT = datetime(2026, 11, 20, 10, 0)
TORN = Pad((), AT, part="U2", ball="H2", damage="torn-off", carries="data")
STATES = {
    "U2": PartState("U2", OFF, AT, "K26-0002"),
    "U1": PartState("U1", DONOR, AT, "K26-0001", "K26-0016"),
    "Q1": PartState("Q1", NEW, AT, "K26-0002"),
}


def _view(seen: tuple[Seen, ...] = (), pads: tuple[Pad, ...] = (TORN,)) -> PartsView:
    return PartsView(Job("", "K26-0002", seen=seen, pads=pads), DESIGN, STATES)


MARKS = {
    "torn off": (TORN, "T"),
    "lifted": (TORN._replace(damage="lifted"), "L"),
    "mask gone": (TORN._replace(damage="mask-gone"), "M"),
    "repaired": (TORN._replace(repaired="film"), "r"),
    "left open": (TORN._replace(repaired="left-open"), "o"),
}


@pytest.mark.parametrize(("pad", "mark"), MARKS.values(), ids=MARKS)
def test_marks_of_pads(pad: Pad, mark: str) -> None:
    assert pad_mark(pad) == mark


def test_rows_skip_the_letters_that_no_array_has() -> None:
    assert ball_drawing(ARRAY, [TORN, TORN._replace(ball="k4", repaired="wire")]) == (
        "     1  2  3  4",
        " G   .  .  .  .",
        " H   .  T  .  .",
        " J   .  .  .  .",
        " K   .  .  .  r",
    )


def test_a_large_array_fits_a_terminal() -> None:
    drawn = ball_drawing(BallArray("A-B", Decimal(40)), [TORN._replace(ball="B31")])
    assert drawn == (
        "            1111111111222222222233333333334",
        "   1234567890123456789012345678901234567890",
        " A ........................................",
        " B ..............................T.........",
    )


def test_pads_of_which_the_same_is_said_are_named_together() -> None:
    pads = (TORN, TORN._replace(ball="J1"), TORN._replace(ball="K3", repaired="film"))
    (table,) = [one for one in part_blocks(_view(pads=pads)) if isinstance(one, Table)]
    assert table.rows[0][-1] == "H2, J1 torn off, not repaired; K3 torn off, repaired: film"


def test_the_board_has_its_marks_and_a_legend_of_those_alone() -> None:
    failed = Seen((), AT, check="memory test", failed=("2L",), passed=("1L", "1H"))
    board, balls = [one for one in part_blocks(_view(seen=(failed,))) if isinstance(one, Drawing)]
    assert board.lines == ("U1d: 1L 1H    |     U10      |  U2-!: 2L× 2H",)
    assert balls.lines == ball_drawing(ARRAY, [TORN])
    legends = [one.text for one in part_blocks(_view(seen=(failed,))) if isinstance(one, Line)]
    assert legends == [
        "× channel failed when it was tested last, - off the board, d from a donor, ! damaged pads.",
        "T torn off.",
    ]


def test_a_channel_that_passed_later_has_no_mark() -> None:
    seen = (Seen((), AT, failed=("2L",)), Seen((), AT.replace(hour=12), passed=("2L",)))
    board = next(one for one in part_blocks(_view(seen=seen)) if isinstance(one, Drawing))
    assert "×" not in board.lines[0]


def test_the_table_tells_each_part_and_the_job_where_it_is_another() -> None:
    (table,) = [one for one in part_blocks(_view()) if isinstance(one, Table)]
    assert [tuple(row) for row in table.rows] == [
        ("U2", "off the board", "2026-11-20 10:00", "", "H2 torn off, not repaired"),
        ("U1", "from donor K26-0016", "2026-11-20 10:00", "K26-0001", ""),
        ("Q1", "fitted new", "2026-11-20 10:00", "", ""),
    ]


def test_a_pad_told_twice_counts_as_it_was_told_last() -> None:
    again = TORN._replace(repaired="film")
    data = {one["part"]: one for one in parts_data(_view(pads=(TORN, again)))}
    assert [pad["repaired"] for pad in data["U2"]["pads"]] == ["film"]
    torn_later, repaired = TORN._replace(at=AT), again._replace(at=AT.replace(hour=9))
    data = {one["part"]: one for one in parts_data(_view(pads=(torn_later, repaired)))}
    assert [pad["repaired"] for pad in data["U2"]["pads"]] == [None]
    assert data["U1"] == {
        "part": "U1", "state": "donor", "donor": "K26-0016", "since": "2026-11-20T10:00:00",
        "job": "K26-0001", "pads": [],
    }  # fmt: skip


def test_nothing_is_shown_where_nothing_was_moved() -> None:
    assert list(part_blocks(PartsView(Job("", "K26-0002"), DESIGN, {}))) == []
