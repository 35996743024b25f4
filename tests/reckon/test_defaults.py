"""The habits that a reading follows where nothing is said; each case is common practice at a bench, no source."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from jobkit.reckon.entry.defaults import (
    HabitError,
    default_kind,
    default_leads,
    default_meter,
    default_stage,
    default_state,
    is_under_power,
    off_the_board,
    warm_until,
)
from tests.at_the_bench import a_job, reading, the_bench, work

INJECT = '[[inject]]\nat = 2026-10-20T11:00:00\nrail = "V12"\nvolts = "1.0 V"\n'
SOLDERED = work("fit", "U3", "2026-10-22T09:30:00")
TRIAL = '[[trial]]\nat = {at}\nrun = "picture"\nresult = "fail"\n'


@pytest.mark.parametrize(
    ("more", "proving", "stage"),
    [
        pytest.param("", False, "arrival", id="nothing done yet"),
        pytest.param(work("inspect"), False, "arrival", id="looked at only"),
        pytest.param(reading(), False, "arrival", id="read already"),
        pytest.param(work("clean"), False, "work", id="cleaned: no longer as it came"),
        pytest.param(INJECT, False, "work", id="current injected"),
        pytest.param(work("fit", "U3"), False, "work", id="soldered, not proved yet"),
        pytest.param(work("fit", "U3"), True, "proof", id="a walk of the proof was begun"),
        pytest.param(
            work("fit", "U3") + reading("proof", at="2026-10-21T12:00:00"),
            False,
            "proof",
            id="proof is being taken",
        ),
        pytest.param(
            reading("proof", at="2026-10-20T12:00:00") + work("fit", "U3"),
            False,
            "work",
            id="soldered again after the proof",
        ),
    ],
)
def test_stage(more: str, proving: bool, stage: str) -> None:  # noqa: FBT001
    assert default_stage(a_job(more), proving=proving) == stage


def test_a_finished_job_is_proved() -> None:
    finished = a_job()._replace(outcome="repaired")
    assert default_stage(finished) == "proof"


@pytest.mark.parametrize(
    ("point", "told", "cold", "kind"),
    [
        pytest.param("VMEM", (), True, "resistance", id="bare, cold, the limit is a resistance"),
        pytest.param("PG1", (), True, "diode", id="bare, cold, the only limit is in diode mode"),
        pytest.param(
            "OUT", ("voltage", "diode", "ripple"), True, "voltage", id="volts: what is wanted first"
        ),
        pytest.param(
            "PG1", ("voltage", "diode", "ripple"), True, "diode", id="volts where only diode is wanted"
        ),
        pytest.param(
            "VMEM", ("voltage", "diode", "ripple"), True, "voltage", id="volts where none are wanted"
        ),
        pytest.param("VMEM", (), False, "resistance", id="bare, powered, but only one kind is wanted"),
        pytest.param(None, (), True, "resistance", id="no board file"),
    ],
)
def test_kind(tmp_path: Path, point: str | None, told: tuple[str, ...], cold: bool, kind: str) -> None:  # noqa: FBT001
    design = the_bench(tmp_path).designs["rowan-r3"]
    assert default_kind(design.point(point), told, cold=cold) == kind


@pytest.mark.parametrize(("point", "cold"), [("OUT", True), ("OUT", False), (None, False)])
def test_a_bare_number_that_could_be_two_things_is_refused(
    tmp_path: Path,
    point: str | None,
    cold: bool,  # noqa: FBT001
) -> None:
    design = the_bench(tmp_path).designs["rowan-r3"]
    with pytest.raises(HabitError, match="type its unit"):
        default_kind(design.point(point), (), cold=cold)


@pytest.mark.parametrize(
    ("point", "kind", "warm", "state"),
    [
        ("VMEM", "resistance", False, "cold"),
        ("VMEM", "resistance", True, "warm"),
        ("OUT", "voltage", False, "powered"),
        ("OUT", "voltage", True, "powered"),
        (None, "diode", False, "cold"),
        (None, "ripple", False, "powered"),
    ],
)
def test_state(tmp_path: Path, point: str | None, kind: str, warm: bool, state: str) -> None:  # noqa: FBT001
    design = the_bench(tmp_path).designs["rowan-r3"]
    assert default_state(design.point(point), kind, warm=warm) == state


def test_the_leads_are_where_every_limit_has_them(tmp_path: Path) -> None:
    design = the_bench(tmp_path).designs["rowan-r3"]
    assert default_leads(design.point("PG1"), "diode") == (None, "ground")
    assert default_leads(design.point("VMEM"), "resistance") == (None, None)


@pytest.mark.parametrize(
    ("more", "kind", "remembered", "meter"),
    [
        pytest.param("", "resistance", None, "dmm-1", id="the first that serves"),
        pytest.param("", "voltage", None, "dmm-2", id="the only one that serves"),
        pytest.param("", "resistance", "dmm-2", "dmm-2", id="the one told last"),
        pytest.param("", "resistance", "gone", "dmm-1", id="the one told last is no longer there"),
        pytest.param(
            reading(meter="dmm-2"), "resistance", "dmm-1", "dmm-2", id="the one used for it in this job"
        ),
        pytest.param(
            reading(kind="voltage", value="1.3 V", meter="dmm-2"),
            "ripple",
            None,
            "dmm-2",
            id="the one in hand",
        ),
        pytest.param("", "power", None, None, id="none"),
    ],
)
def test_meter(tmp_path: Path, more: str, kind: str, remembered: str | None, meter: str | None) -> None:
    assert default_meter(a_job(more), kind, remembered, the_bench(tmp_path).meters) == meter


@pytest.mark.parametrize(
    ("more", "off"),
    [
        ("", ()),
        (work("remove", "U3"), ("U3",)),
        (work("remove", "U3") + work("fit", "U3", "2026-10-21T12:00:00"), ()),
        (work("remove", "U3") + work("remove", "Q214"), ("U3", "Q214")),
        (work("remove", "cooler"), ()),
        (work("swap", "U3"), ()),
    ],
)
def test_what_is_off_the_board(more: str, off: tuple[str, ...]) -> None:
    assert off_the_board(a_job(more)) == off


def test_the_board_is_warm_after_heat_until_it_has_cooled() -> None:
    assert warm_until(a_job(work("fit", "U3", "2026-10-22T09:50:00")), 30) == datetime(2026, 10, 22, 10, 20)
    assert warm_until(a_job(work("inspect")), 30) is None


@pytest.mark.parametrize(
    ("more", "power"),
    [
        pytest.param("", False, id="nothing yet"),
        pytest.param(TRIAL.format(at="2026-10-22T09:00:00"), True, id="a trial this morning"),
        pytest.param(TRIAL.format(at="2026-10-21T09:00:00"), False, id="a trial yesterday"),
        pytest.param(
            TRIAL.format(at="2026-10-22T09:00:00") + work("fit", "U3", "2026-10-22T09:30:00"),
            False,
            id="soldered since",
        ),
        pytest.param(reading(state="powered", at="2026-10-22T09:00:00"), True, id="read under power"),
        pytest.param(
            reading(state="powered", at="2026-10-22T09:00:00") + reading(at="2026-10-22T09:30:00"),
            False,
            id="read cold since",
        ),
    ],
)
def test_power_is_what_was_written_last_that_day(more: str, power: bool) -> None:  # noqa: FBT001
    assert is_under_power(a_job(more), datetime(2026, 10, 22, 10, 5)) is power


@pytest.mark.parametrize(
    ("others", "kind"),
    [(("voltage", "diode", "ripple"), "voltage"), (("resistance",), "refused"), ((), "refused")],
)
def test_a_bare_number_goes_with_the_units_of_the_call(
    tmp_path: Path, others: tuple[str, ...], kind: str
) -> None:
    point = the_bench(tmp_path).designs["rowan-r3"].point("OUT")
    try:
        found = default_kind(point, (), cold=True, others=others)
    except HabitError:
        found = "refused"
    assert found == kind
