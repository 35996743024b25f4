"""Which readings a walk asks for, in which order, and which it takes for done."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.jobs.design import Point, PointLimit
from jobkit.reckon.entry.reading_entry import Overrides
from jobkit.reckon.entry.walk import is_read, reading_at, stops
from tests.at_the_bench import context, reading, work

COLD = ["VCORE", "VMEM", "VMEM2", "V12", "V5", "V3V3", "V1V8", "V0V8", "PG1", "PG2", "PG3", "PG4"]


def test_on_arrival_everything_cold_in_the_order_of_the_board_file(tmp_path: Path) -> None:
    found = stops(context(tmp_path), "arrival")
    assert [stop.point for stop in found] == COLD
    assert not any(stop.powered for stop in found)


def test_for_proof_the_policy_first_then_the_rest_then_what_needs_power(tmp_path: Path) -> None:
    found = stops(context(tmp_path), "proof")
    policy = ["VCORE", "VMEM", "V12"]
    assert [stop.point for stop in found] == [
        *policy,
        *(one for one in COLD if one not in policy),
        "OUT",
        "OUT",
    ]
    assert [stop.kind for stop in found if stop.powered] == ["voltage", "ripple"]


def test_a_point_of_the_policy_is_walked_on_an_undocumented_board(tmp_path: Path) -> None:
    here = context(tmp_path)
    bare = here._replace(job=here.job._replace(board=here.job.board._replace(design=None)))
    assert [stop.point for stop in stops(bare, "proof")] == ["VCORE", "VMEM", "V12"]
    assert stops(bare, "arrival") == ()


@pytest.mark.parametrize(
    ("more", "stage", "done"),
    [
        pytest.param("", "arrival", False, id="nothing read"),
        pytest.param(reading("arrival"), "arrival", True, id="read on arrival"),
        pytest.param(reading("arrival"), "proof", False, id="read on arrival proves nothing"),
        pytest.param(reading("arrival", to="V12"), "arrival", False, id="read to another point"),
        pytest.param(reading("arrival", state="warm"), "arrival", False, id="read warm"),
        pytest.param(reading("proof"), "proof", True, id="proved"),
        pytest.param(
            reading("proof") + work("fit", "U3"), "proof", False, id="proved before the last soldering"
        ),
    ],
)
def test_a_reading_in_this_manner_at_this_stage_is_not_asked_for_again(
    tmp_path: Path,
    more: str,
    stage: str,
    done: bool,  # noqa: FBT001
) -> None:
    here = context(tmp_path, more)
    stop = next(stop for stop in stops(here, stage) if stop.point == "VMEM")
    assert is_read(stop, here.job, stage) is done


def test_a_warm_board_is_read_warm_and_asked_again_cold(tmp_path: Path) -> None:
    here = context(tmp_path, work("fit", "U3", "2026-10-22T10:00:00"))
    stop = next(stop for stop in stops(here, "proof") if stop.point == "VMEM")
    assert stop.state == "warm"
    assert stop.manner.state == "cold"
    assert reading_at(stop, "23.4", Overrides(), here).state == "warm"


def test_what_is_off_the_board_belongs_to_every_stop(tmp_path: Path) -> None:
    here = context(tmp_path, work("remove", "U3"))
    assert {stop.removed for stop in stops(here, "arrival")} == {("U3",)}
    assert reading_at(stops(here, "arrival")[0], "1", Overrides(), here).removed == ("U3",)


def test_a_stop_has_the_state_of_its_limit_else_that_in_which_its_kind_is_read(tmp_path: Path) -> None:
    here = context(tmp_path)
    limits = (
        PointLimit((), "resistance", "cold"),
        PointLimit((), "resistance", "powered"),
        PointLimit((), "diode"),
        PointLimit((), "voltage"),
    )
    assert here.design is not None
    design = here.design._replace(points=(Point((), "P1", limits=limits),))
    bench = here.bench._replace(designs={str(here.job.board.design): design})
    found = stops(here._replace(bench=bench), "proof")
    assert [(one.kind, one.state) for one in found if one.point == "P1"] == [
        ("resistance", "cold"),
        ("diode", "cold"),
        ("resistance", "powered"),
        ("voltage", "powered"),
    ]
