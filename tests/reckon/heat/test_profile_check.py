"""Heatings against the tables of J-STD-020 (copies of revisions C, D and E) and against the window of the solder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

import pytest

from jobkit.jobs.heat_policy import HeatPolicy, PackageLimits, SolderWindow
from jobkit.reckon.heat.heating import heating_of, placed
from jobkit.reckon.heat.package_limits import Body, classification, profile
from jobkit.reckon.heat.probe import probe_at
from jobkit.reckon.heat.profile_check import Check, Conditions, check_heating, worst_of
from jobkit.reckon.heat.solder import solder_named
from jobkit.reckon.heat.summary import summarise_heating
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity, parse_span
from jobkit.units.verdict import Decision
from tests.reckon.heat.curves import SOUND, a_log, through

SAC = solder_named("SAC305")
PLACES = {"t1": "U5 body top", "t2": "U5 joint"}


def given(tc: int = 250) -> Conditions:
    most = classification([Body(parse_quantity(f"{tc} °C"))], leaded=False)
    assert most is not None
    return Conditions("fit", "U5", SAC, "SAC305", {"U5": most})


def checks(
    corners: Sequence[tuple[float, float]],
    conditions: Conditions | None = None,
    places: Mapping[str, str] = PLACES,
    lower: float = 4.0,
) -> tuple[Check, ...]:
    """Check one course at the body top, and one that is a little colder at the joint."""
    points = through(corners)
    colder = [(time, value - lower if value > 60 else value) for time, value in points]
    heating = heating_of(a_log(t1=points, t2=colder), 10)
    return check_heating(placed(heating, places, "U5"), conditions or given())


def words(found: Sequence[Check]) -> dict[tuple[str, str], str]:
    return {(one.column, one.name): one.word for one in found}


@pytest.mark.parametrize(
    ("thick", "volumes"),
    [
        ("1.5", (260, 260, 260)),
        ("1.6", (260, 250, 245)),
        ("2.4", (260, 250, 245)),
        ("2.5", (250, 245, 245)),  # copies have "> 2.5" and ">= 2.5 mm"; the safer
        ("3.0", (250, 245, 245)),
    ],
)
def test_the_table_of_lead_free_classification_temperatures(thick: str, volumes: tuple[int, ...]) -> None:
    """J-STD-020 D/E, table of Pb-free process classification temperatures, from a copy."""
    for volume, tc in zip((349, 2000, 2001), volumes, strict=True):
        found = classification([Body(None, Decimal(thick), Decimal(volume))], leaded=False)
        assert found is not None
        assert found.limit.text == f"<= {tc} °C"


@pytest.mark.parametrize(
    ("thick", "volume", "tc"), [("2.4", 349, 235), ("2.4", 350, 220), ("2.5", 349, 220), ("2.5", 350, 220)]
)
def test_the_table_of_tin_lead_classification_temperatures(thick: str, volume: int, tc: int) -> None:
    """J-STD-020 D/E, table of SnPb eutectic process classification temperatures, from a copy."""
    found = classification([Body(None, Decimal(thick), Decimal(volume))], leaded=True)
    assert found is not None
    assert found.limit.text == f"<= {tc} °C"


def test_the_lowest_of_several_ratings_counts_and_an_unknown_volume_is_a_large_one() -> None:
    bodies = [Body(parse_quantity("260 °C")), Body(None, Decimal("1.9"))]
    found = classification(bodies, leaded=False)
    assert found is not None
    assert found.limit.text == "<= 245 °C"
    assert "volume not known" in found.source
    assert classification([Body()], leaded=False) is None


@pytest.mark.parametrize(
    ("leaded", "figures"),
    [
        (False, ("217", "3", "6", "30", "150", "120", "480")),
        (True, ("183", "3", "6", "20", "150", "120", "360")),
    ],
    ids=["lead-free", "tin-lead"],
)
def test_the_maxima_of_the_classification_profile(leaded: bool, figures: tuple[str, ...]) -> None:  # noqa: FBT001
    """J-STD-020 D/E, table of classification profiles, from a copy; C has 180 s of preheat: the safer value."""
    limits = profile(PackageLimits(), leaded=leaded)
    most = (
        limits.ramp_up,
        limits.ramp_down,
        limits.near_peak,
        limits.above_liquidus,
        limits.preheat,
        limits.to_peak,
    )
    highs = [one.limit.high.value for one in most if one.limit.high]
    assert [limits.liquidus, *highs] == [Decimal(one) for one in figures]
    assert all("J-STD-020" in one.source for one in most)


@pytest.mark.parametrize(
    ("name", "solidus", "liquidus"),
    [("SAC305", 217, 220), ("Sn63Pb37", 183, 183), ("sn60 pb40", 183, 191), ("Sn42/Bi58", 138, 138)],
)
def test_where_solders_melt(name: str, solidus: int, liquidus: int) -> None:
    """Table of alloys, from a copy."""
    found = solder_named(name)
    assert found is not None
    assert (found.solidus, found.liquidus) == (Decimal(solidus), Decimal(liquidus))
    assert solder_named("unobtainium") is None


def test_of_several_windows_of_the_bench_the_one_of_the_name_counts() -> None:
    other, own = (
        SolderWindow(name, liquidus=parse_quantity(liquidus, "temperature"))
        for name, liquidus in (("SAC305", "219 °C"), ("Bench mix 2", "201 °C"))
    )
    found = solder_named("bench mix 2", (other, own))
    assert found is not None
    assert found.liquidus == 201


def test_a_sound_heating_is_in() -> None:
    found = checks(SOUND)
    assert set(words(found).values()) == {"in"}
    assert [one.name for one in found] == [
        "peak", "ramp up", "ramp down", "near peak", "preheat", "above 217 °C", "25 °C to peak", "peak",
        "above 220 °C",
    ]  # fmt: skip


PLATEAU = ((0, 25), (125, 150), (185, 200), (220, 235), (280, 235), (350, 60))


def test_a_plateau_at_235_on_a_250_package_passes() -> None:
    """Revision C would count its 60 s within 5 °C of the actual peak; D and E count from Tc - 5 °C on."""
    found = checks(PLATEAU, lower=1.0)
    assert set(words(found).values()) == {"in"}
    near = next(one for one in found if one.name == "near peak")
    assert near.value is not None
    assert near.value.value == 0


@pytest.mark.parametrize(
    ("corners", "out"),
    [
        (
            ((0, 25), (25, 150), (100, 200), (140, 240), (150, 240), (250, 60)),
            {("t1", "ramp up")},
        ),
        (((0, 25), (125, 150), (215, 200), (225, 214), (345, 60)), {("t2", "peak"), ("t2", "above 220 °C")}),
        (((0, 25), (125, 150), (215, 200), (277, 262), (280, 262), (380, 60)), {("t1", "peak")}),
        (((0, 25), (125, 150), (215, 200), (260, 247), (300, 247), (400, 60)), {("t1", "near peak")}),
        (((0, 25), (125, 150), (255, 200), (295, 240), (305, 240), (400, 60)), {("t1", "preheat")}),
        (
            ((0, 25), (125, 150), (215, 200), (240, 235), (390, 235), (480, 60)),
            {("t1", "above 217 °C"), ("t2", "above 220 °C")},
        ),
        (((0, 25), (125, 150), (215, 200), (255, 240), (275, 240), (295, 80)), {("t1", "ramp down")}),
        (((0, 25), (400, 150), (480, 200), (520, 240), (530, 240), (620, 60)), {("t1", "25 °C to peak")}),
        (((0, 25), (125, 150), (215, 200), (250, 236), (270, 236), (275, 222), (350, 60)), set()),
    ],
    ids=[
        "ramp of 5 °C/s",
        "cold joint",
        "262 °C",
        "near peak",
        "preheat",
        "too long",
        "ramp down",
        "slow",
        "in",
    ],
)
def test_each_limit_bites(corners: Sequence[tuple[float, float]], out: set[tuple[str, str]]) -> None:
    found = {where for where, word in words(checks(corners)).items() if word == "out"}
    assert found == out


def test_a_cold_joint_at_210_does_not_pass() -> None:
    found = checks(((0, 25), (125, 150), (215, 200), (230, 214), (240, 214), (330, 60)))
    assert worst_of(found) == "out"
    peak = next(one for one in found if (one.column, one.name) == ("t2", "peak"))
    assert (peak.value.text if peak.value else "", peak.word) == ("210.0 °C", "out")


def test_a_column_without_place_is_never_a_pass() -> None:
    found = checks(SOUND, places={"t2": "U5 joint"})
    assert (found[0].why, found[0].word) == ("place unknown", "")
    assert worst_of(found) == ""


@pytest.mark.parametrize(
    ("places", "nowhere"),
    [
        ({"t1": "board edge", "t2": "U5 joint"}, ["U5 body top"]),
        ({"t1": "U7 body top", "t2": "U7 joint"}, ["U5 body top", "U5 joint"]),
        ({"t1": "U5 body top", "t2": "U7 joint"}, ["U5 joint"]),
        ({"t1": "u5 body top", "t2": "u5 joint"}, []),
        ({"t1": "body top", "t2": "joint"}, []),
        ({"t1": "U5 body top", "t2": "board edge"}, []),
    ],
    ids=["joint alone", "another package", "another joint", "lower case", "no part", "body top alone"],
)
def test_a_part_without_a_thermocouple_is_not_checked(places: dict[str, str], nowhere: list[str]) -> None:
    found = checks(SOUND, places=places)
    assert [one.place for one in found if not one.column] == nowhere
    assert not nowhere or worst_of(found) == ""


def test_a_removal_without_a_solder_is_not_checked() -> None:
    cold = ((0, 25), (125, 150), (215, 200), (230, 210), (240, 210), (330, 60))
    found = checks(cold, given()._replace(did="remove", solder=None, solder_name=""))
    assert worst_of(found) == ""
    assert "the solder is not known" in {one.why for one in found if one.column == "t2"}


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("u66 body top", ("U66", "body top")),
        ("U6 pads", ("U6", "joint")),
        ("board edge, not joint", ("", "")),
        ("near U6 joint", ("U6", "")),
        ("U6 body bottom", ("U6", "elsewhere")),
        ("top of the board", ("", "elsewhere")),
        ("under U6", ("U6", "elsewhere")),
        ("capacitor C5 body top", ("C5", "body top")),
    ],
)
def test_where_a_thermocouple_sat(text: str, place: tuple[str, str]) -> None:
    found = probe_at("t1", text)
    assert (found.part, found.where) == place


def test_a_package_without_a_rating_is_not_checked() -> None:
    found = checks(SOUND, given()._replace(ratings={}))
    assert worst_of(found) == ""
    assert "classification temperature of U5 is not known" in found[0].why


def test_a_solder_that_is_not_known_is_not_checked() -> None:
    for name, why in (("mystery", "it is not known where mystery melts"), ("", "the solder is not known")):
        found = checks(SOUND, given()._replace(solder=None, solder_name=name))
        assert worst_of(found) == ""
        assert why in {one.why for one in found}


def test_a_removal_needs_melted_solder_and_no_window() -> None:
    bismuth = solder_named("Sn42Bi58")
    low = ((0, 25), (125, 150), (200, 190), (220, 190), (300, 60))
    found = checks(low, given()._replace(did="remove", solder=bismuth, solder_name="Sn42Bi58"))
    assert set(words(found).values()) == {"in"}
    assert [one.limit.text for one in found if one.column == "t2" and one.limit] == [">= 138 °C"]


def test_a_hole_while_hot_leaves_nothing_in() -> None:
    points = [point for point in through(SOUND) if not 240 < point[0] < 262]
    heating = heating_of(a_log(t1=points), 10)
    found = check_heating(placed(heating, PLACES, "U5"), given())
    assert {one.word for one in found} == {""}
    assert "nothing is recorded for 22 s" in found[0].why


def test_the_bench_may_have_limits_of_its_own() -> None:
    own = HeatPolicy(
        package=PackageLimits(below=parse_span("15 °C", "temperature"), ramp_up=Decimal("0.5")),
        solders=(SolderWindow("sac305", peak=parse_limit("240 °C .. 250 °C")),),
    )
    solder = solder_named("SAC305", own.solders)
    found = checks(SOUND, given()._replace(policy=own, solder=solder))
    out = {where for where, word in words(found).items() if word == "out"}
    assert out == {("t1", "peak"), ("t1", "ramp up"), ("t2", "peak")}
    assert {one.source for one in found if one.column == "t2"} == {"bench.toml"}


def test_the_accuracy_of_a_thermocouple_makes_near() -> None:
    policy = HeatPolicy(accuracy=parse_span("3 °C", "temperature"))
    found = checks(SOUND, given(241)._replace(policy=policy, decision=Decision("guarded")))
    assert words(found)["t1", "peak"] == "near"
    assert worst_of(found) == "near"


def test_a_neighbour_that_melts_is_told_with_its_time() -> None:
    points = through(SOUND)
    cooler = [(time, 25 + (value - 25) * 0.88) for time, value in points]
    heating = heating_of(a_log(t1=points, t2=points, t3=cooler), 10)
    columns = placed(heating, {"t1": "U5 joint", "t2": "U6 body top", "t3": "U7 body top"}, "U5")
    own, melted, solid = summarise_heating(columns, given())
    assert (own.heatings, melted.heatings, solid.heatings) == (1, 1, 0)
    assert melted.crossed_at == pytest.approx(232)
    assert solid.crossed_at is None
    assert solid.below_hottest == pytest.approx(25.8)
