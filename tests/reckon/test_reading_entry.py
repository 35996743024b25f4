"""From words to readings: points, values, and what options overrule."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from jobkit.jobs.design import Point
from jobkit.reckon.entry.reading_entry import (
    Overrides,
    Pair,
    TypedError,
    make_reading,
    make_readings,
    pairs,
    points_of,
)
from jobkit.units.errors import MisuseError
from jobkit.units.quantity import parse_quantity
from tests.at_the_bench import context, work

NAMES = ["VMEM", "V12", "12V"]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("vmem 23.4", [("vmem", "23.4")]),
        ("vmem 23.4 vcore .31 v12 3k2", [("vmem", "23.4"), ("vcore", ".31"), ("v12", "3k2")]),
        ("vmem 23.4 ohm v12 12 V", [("vmem", "23.4 ohm"), ("v12", "12 V")]),
        ("vmem ol", [("vmem", "ol")]),
        ("12v 12.03", [("12v", "12.03")]),
        ("vmem −0.5", [("vmem", "−0.5")]),
    ],
)
def test_points_and_values_come_in_turn(words: str, found: list[tuple[str, str]]) -> None:
    assert pairs(words.split(), NAMES) == tuple(Pair(*one) for one in found)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("vmem", "vmem has no value"),
        ("23.4 vmem", '"23.4" is in the place of a point'),
        ("vmem vcore 3", 'vmem: "vcore" is not a value'),
        ("vmem 3 v12", "v12 has no value"),
    ],
)
def test_words_out_of_turn_are_refused(words: str, message: str) -> None:
    with pytest.raises(TypedError) as refused:
        pairs(words.split(), NAMES)
    assert message in refused.value.message


def test_all_follows_the_habits(tmp_path: Path) -> None:
    one = make_reading(Pair("vmem", "23,4"), Overrides(), context(tmp_path))
    assert (one.point, one.kind, one.stage, one.state, one.meter, one.by) == (
        "VMEM", "resistance", "arrival", "cold", "dmm-1", "ida",
    )  # fmt: skip
    assert one.value
    assert one.value.text == "23.4 Ω"
    assert one.at == datetime(2026, 10, 22, 10, 5)
    assert (one.limit, one.to, one.red_on, one.removed, one.settled) == (None, None, None, (), True)


def test_options_overrule_each_habit(tmp_path: Path) -> None:
    overrides = Overrides(
        stage="work", kind="dio", state="warm", to="v12", red_on="ground", removed=("u3", "U4"), meter="dmm-2",
        unsettled=True, limit="0.4..0.6 V", note="slow", range="2V",
    )  # fmt: skip
    one = make_reading(Pair("vmem", ".5"), overrides, context(tmp_path, work("remove", "Q214")))
    assert (one.stage, one.kind, one.state, one.to, one.red_on) == ("work", "diode", "warm", "V12", "ground")
    assert (one.removed, one.meter, one.settled, one.range, one.note) == (
        ("U3", "U4"),
        "dmm-2",
        False,
        parse_quantity("2 V", "diode"),
        "slow",
    )
    assert one.limit
    assert one.limit.text == "0.4 .. 0.6 V"


def test_what_is_off_the_board_is_said_of_the_reading(tmp_path: Path) -> None:
    off = context(tmp_path, work("remove", "U3"))
    assert make_reading(Pair("vmem", "23"), Overrides(), off).removed == ("U3",)
    assert make_reading(Pair("vmem", "23"), Overrides(removed=("none",)), off).removed == ()


def test_the_limits_leads_are_taken_over(tmp_path: Path) -> None:
    one = make_reading(Pair("pg1", ".52v"), Overrides(), context(tmp_path))
    assert (one.kind, one.red_on) == ("diode", "ground")


@pytest.mark.parametrize(
    ("pair", "overrides", "message"),
    [
        pytest.param(Pair("vmen", "3"), Overrides(), '"vmen" is not a point of rowan-r3', id="point"),
        pytest.param(Pair("v", "3"), Overrides(), '"v" could be', id="several points"),
        pytest.param(Pair("vmem", "3"), Overrides(meter="dmm-3"), '"dmm-3" is not a meter', id="meter"),
        pytest.param(Pair("vmem", "3"), Overrides(kind="ohms"), '"ohms" is not a kind of reading', id="kind"),
        pytest.param(Pair("vmem", "3"), Overrides(state="hot"), '"hot" is not a state', id="state"),
        pytest.param(Pair("vmem", "3"), Overrides(stage="later"), '"later" is not a stage', id="stage"),
        pytest.param(Pair("vmem", "3"), Overrides(to="V13"), '"V13" is not a point or part', id="other end"),
        pytest.param(Pair("vmem", "3"), Overrides(removed=("U99",)), '"U99" is not a part', id="removed"),
        pytest.param(
            Pair("vmem", "3"), Overrides(limit="10 V .. 20 V"), "in the limit", id="limit of another kind"
        ),
        pytest.param(
            Pair("vmem", "3V"), Overrides(kind="resistance"), "has a unit of voltage", id="unit against kind"
        ),
    ],
)
def test_a_slip_is_refused_in_words(tmp_path: Path, pair: Pair, overrides: Overrides, message: str) -> None:
    with pytest.raises(MisuseError) as refused:
        make_reading(pair, overrides, context(tmp_path))
    assert message in refused.value.message
    assert refused.value.mend


def test_names_are_taken_as_they_are_where_that_is_said(tmp_path: Path) -> None:
    one = make_reading(
        Pair("vx", "3"), Overrides(as_is=True, meter="old one", kind="resistance"), context(tmp_path)
    )
    assert (one.point, one.meter) == ("vx", "old one")


def test_an_undocumented_board_knows_the_points_of_the_policy_and_of_its_readings(tmp_path: Path) -> None:
    here = context(tmp_path)
    bare = here._replace(job=here.job._replace(board=here.job.board._replace(design=None)))
    assert points_of(bare) == ("VCORE", "VMEM", "V12")
    assert [
        make_reading(Pair(word, "3"), Overrides(), bare).point for word in ("vmem", "vx", "pin 3 of U7")
    ] == [
        "VMEM",
        "VX",
        "pin 3 of U7",
    ]


def test_what_was_read_again_goes_with_the_reading_of_one_point(tmp_path: Path) -> None:
    here, again = context(tmp_path), Overrides(again=("23.6",))
    (one,) = make_readings([Pair("vmem", "23.4")], again, here)
    assert [value.text for value in one.again] == ["23.6 Ω"]
    with pytest.raises(TypedError, match="one point"):
        make_readings([Pair("vmem", "23.4"), Pair("v12", "3k2")], again, here)


def test_a_point_without_a_name_is_not_one_to_be_named(tmp_path: Path) -> None:
    here = context(tmp_path)
    assert here.design is not None
    design = here.design._replace(points=(Point(()), Point((), "P1")))
    bench = here.bench._replace(designs={str(here.job.board.design): design})
    assert points_of(here._replace(bench=bench)) == ("P1",)
