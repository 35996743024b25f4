"""The two tables of kinds and units."""

import pytest

from jobkit.units.kinds import KINDS, SPELLINGS, UNITS, kinds_of, spellings, usual_units


def test_the_kinds_stand_in_their_order_with_one_base_unit_each() -> None:
    # Those that meters read, then those that only the logs of loaded runs have.
    assert {kind.name: kind.unit for kind in KINDS.values()} == {
        "resistance": "Ω",
        "voltage": "V",
        "diode": "V",
        "current": "A",
        "capacitance": "F",
        "inductance": "H",
        "frequency": "Hz",
        "temperature": "°C",
        "power": "W",
        "ripple": "V",
        "fan speed": "rpm",
        "frame rate": "fps",
    }


def test_every_kind_has_a_unit_row_and_every_unit_a_kind() -> None:
    assert {kind.unit for kind in KINDS.values()} == set(UNITS)
    assert all(kinds_of(unit) for unit in UNITS)


@pytest.mark.parametrize(
    ("kind", "some"),
    [
        (
            "resistance",
            {
                "Ω",
                "\u2126",
                "ohm",
                "mΩ",
                "mohm",
                "kΩ",
                "kohm",
                "MΩ",
                "Mohm",
                "GΩ",
                "µΩ",
                "\u03bc\u2126",
                "uohm",
            },
        ),
        ("capacitance", {"pF", "nF", "µF", "\u03bcF", "uF", "mF", "F"}),
        ("temperature", {"°C", "degC", "K", "°F", "degF"}),
        ("frequency", {"Hz", "kHz", "MHz", "GHz"}),
    ],
)
def test_spellings_of_a_kind(kind: str, some: set[str]) -> None:
    assert some <= set(spellings(kind))


def test_ascii_units_that_differ_only_in_capitals_never_mean_the_same() -> None:
    # SI Brochure, 9th edition, table 7: m is milli, M is mega
    plain = [written for written in SPELLINGS if written.isascii()]
    pairs = [(one, other) for one in plain for other in plain if one < other and one.lower() == other.lower()]
    assert ("Mohm", "mohm") in pairs
    assert all(SPELLINGS[one].exponent != SPELLINGS[other].exponent for one, other in pairs)


def test_milliohm_and_megohm_are_nine_powers_of_ten_apart_in_every_spelling() -> None:
    for name in ("Ω", "\u2126", "ohm"):
        assert (SPELLINGS[f"m{name}"].exponent, SPELLINGS[f"M{name}"].exponent) == (-3, 6)


@pytest.mark.parametrize("kind", KINDS)
def test_the_usual_spelling_of_a_unit_is_its_own_usual_spelling_and_means_the_same(kind: str) -> None:
    for written in spellings(kind):
        usual = SPELLINGS[written].usual
        assert SPELLINGS[usual] == SPELLINGS[written]
        assert usual in spellings(kind)


def test_usual_units_leave_out_the_doubles() -> None:
    assert usual_units("resistance") == ("µΩ", "mΩ", "Ω", "kΩ", "MΩ", "GΩ")


def test_the_plainest_kind_of_a_unit_comes_first() -> None:
    assert kinds_of("V") == ("voltage", "diode", "ripple")
    assert kinds_of("kg") == ()


def test_an_unknown_kind_has_no_spellings() -> None:
    with pytest.raises(KeyError):
        spellings("colour")
