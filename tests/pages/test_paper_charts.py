"""The drawings on the client's paper, as the example book gives them."""

from __future__ import annotations

import re
from datetime import date
from typing import Any, TypeVar

import pytest

from jobkit.book.read.load import load_job
from jobkit.cli.call.boards import usual_for
from jobkit.cli.call.rollup import open_at
from jobkit.jobs.asof import job_as_of
from jobkit.jobs.entries import Pad, Work
from jobkit.jobs.job import Job
from jobkit.pages.blocks import BoardMap, Curves, PadMap, Strips
from jobkit.pages.client.heat_curves import heat_curves
from jobkit.pages.client.report_charts import board_map, pad_maps, reading_strips
from jobkit.reckon.client.paper import Paper, paper
from jobkit.reckon.warranty.cover import cover
from tests.books import EXAMPLE

ON = date(2026, 11, 20)
_Block = TypeVar("_Block")


def example(number: int, **changes: Any) -> Paper:
    book = open_at(EXAMPLE, None)
    path = f"jobs/2026/K26-{number:04}.toml"
    loaded: Job | None = load_job(path, book.shelf.read(path)).job
    assert loaded
    job = job_as_of(loaded, ON)._replace(**changes)
    covered = cover(job.id, {}, book.bench.settings.warranty, ON)
    return paper(job, book.bench, covered, None, ON, usual_for(book, loaded, ON))


def only(sort: type[_Block], blocks: object) -> list[_Block]:
    return [block for block in blocks if isinstance(block, sort)]  # type: ignore[attr-defined]


def test_readings_are_drawn_with_limit_uncertainty_and_what_good_boards_read() -> None:
    (block,) = only(Strips, reading_strips(example(42)))
    strip = block.strips[0]
    assert strip.label.startswith("VCORE, resistance, cold: 0.36 Ω")
    assert strip.low
    assert strip.high
    assert strip.usual
    assert strip.low[0] < strip.usual[0] < strip.usual[1] < strip.high[0]
    assert all(mark.half > 0 for mark in strip.marks)
    assert "other good boards" in block.about


def test_a_heating_is_drawn_with_the_limits_of_its_peak_and_the_time_in_which_solder_was_melted() -> None:
    first, second = only(Curves, heat_curves(example(26)))
    assert second.about.startswith("Heating: fit U20 on 2026-08-20, from its log.")
    assert second.is_one_scale
    assert "on 2026" not in only(Curves, heat_curves(example(26), with_day=False))[0].about
    joint, top, neighbour = second.curves
    assert [one.label for one in second.curves] == ["U20 corner joint", "U20 body top", "U9 body top"]
    assert [level.text for level in joint.limits] == ["solder melts, 217 °C", "peak at least 230 °C"]
    assert [level.text for level in top.limits] == ["solder melts, 217 °C", "peak at most 245 °C"]
    for curve in (joint, top):
        ((start, end),) = curve.windows
        points = dict(curve.points())
        assert all((value >= 217) == (start <= time <= end) for time, value in points.items())
    assert not neighbour.windows
    assert first.curves


def test_a_thermocouple_that_cannot_be_trusted_is_not_drawn() -> None:
    sheet = example(26)
    spoilt = sheet.heatings[1]
    columns = [one._replace(measured=one.measured._replace(fault="swapped")) for one in spoilt.columns]
    drawn = heat_curves(sheet._replace(heatings=(spoilt._replace(columns=tuple(columns)),)))
    assert not list(drawn)


def work(did: str, part: str, came: str | None = None) -> Work:
    return Work((), did=did, part=part, came=came)


@pytest.mark.parametrize(
    ("done", "marks"),
    [
        ([work("remove", "U5"), work("fit", "U5", "new")], {"U5": "fitted new"}),
        ([work("remove", "U5")], {"U5": "taken off"}),
        ([work("reball", "U5"), work("fit", "U5", "same")], {"U5": "reballed, fitted again"}),
        ([work("reflow", "U10")], {"U10": "reflowed"}),
        ([work("swap", "Q214", "donor")], {"Q214": "swapped from a donor"}),
        ([work("clean", "U5")], None),
    ],
    ids=["replaced", "off", "again", "processor", "not in the drawing", "nothing replaced"],
)
def test_the_board_shows_what_was_replaced(done: list[Work], marks: dict[str, str] | None) -> None:
    blocks = only(BoardMap, board_map(example(42, work=tuple(done))))
    shown = [
        package
        for one in blocks
        for package in (one.processor, *one.left, *one.top, *one.right, *one.bottom, *one.elsewhere)
    ]
    assert ({one.name: one.mark for one in shown if one.mark} or None) == marks


def test_a_part_beside_the_drawing_is_named_with_its_place() -> None:
    (drawn,) = only(BoardMap, board_map(example(42, work=(work("fit", "Q214", "new"),))))
    assert [tuple(one) for one in drawn.elsewhere] == [("Q214", "fitted new", "right of L3, beside U5")]


def test_damaged_pads_are_drawn_for_each_package_and_side() -> None:
    pads = (
        Pad((), part="U5", ball="U3", damage="lifted", repaired="film"),
        Pad((), part="U5", ball="A1", damage="torn-off", side="package"),
        Pad((), part="Q214", ball="4", damage="lifted"),
    )
    drawn = only(PadMap, pad_maps(example(42, pads=pads)))
    assert [one.about for one in drawn] == [
        "Pads under U5, seen from the parts side: r repaired.",
        "Pads of the package U5, seen from the parts side: T torn off.",
    ]
    assert [(mark.ball, mark.letter) for one in drawn for mark in one.marks] == [("U3", "r"), ("A1", "T")]
    assert not re.search(r"Q214", "".join(one.about for one in drawn))
