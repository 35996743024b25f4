"""Reading limits: the design's grammar, its very edges, and a second reader."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from jobkit.units.kinds import KINDS
from jobkit.units.limit import Limit, LimitError, as_rise, parse_limit, usual_limit_spelling
from jobkit.units.quantity import Quantity, parse_quantity
from tests.units.second_reader import Bounds, read_limit
from tests.units.test_quantity import assert_same_value
from tests.units.written_by_hand import ANY_KIND, NUMBER, kinds_and_limits, smudged


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        # our own format
        (">= 200 Ω", None, "200", None),
        ("<= 95 °C", None, None, "95"),
        ("≥ 1 MΩ", None, "1e6", None),
        ("≤88 °C", None, None, "88"),
        ("10 Ω .. 60 Ω", None, "10", "60"),
        ("10 .. 30 Ω", None, "10", "30"),
        ("230 W +/- 10 %", None, "207.0", "253.0"),
        ("12 V ± 5 %", None, "11.40", "12.60"),
        # a bare low takes the other end's whole unit, prefix included
        ("10 .. 60 kΩ", None, "1e4", "6e4"),
        ("1 .. 4K7", "resistance", "1000", "4700"),
        ("0.1 .. R47", "resistance", "0.1", "0.47"),
        ("-40 .. 85 °C", None, "-40", "85"),
        ("10 mΩ .. 1 Ω", None, "0.01", "1"),
        # codes, and units that one end takes from the other
        ("4K7 ± 5 %", "resistance", "4465", "4935"),
        ("R47 .. 1R0", "resistance", "0.47", "1"),
        ("R47 .. 1 Ω", None, "0.47", "1"),
        ("4n7 ± 1 nF", None, "3.7e-9", "5.7e-9"),
        # tolerances in units, uneven ones, either sign first
        ("12 V ± 100 mV", None, "11.9", "12.1"),
        ("12 V + 0.5 V / - 0.2 V", None, "11.8", "12.5"),
        ("12 V -5%/+10%", None, "11.4", "13.2"),
        ("12 V − 5 % / + 0.2 V", None, "11.4", "12.2"),
        ("0 V ± 0 %", None, "0", "0"),
        # a percentage is of the size: the lower end is the lower one below zero too
        ("-12 V ± 5 %", None, "-12.6", "-11.4"),
        ("−12 V +10 %/−5 %", None, "-12.6", "-10.8"),
        # spans of temperature on other scales: SI Brochure 2.3.1, NIST SP 811 B.8
        ("85 °C ± 3 K", None, "82", "88"),
        ("203 °F ± 9 °F", None, "90", "100"),
    ],
)
def test_a_limit_has_its_exact_ends(text: str, kind: str | None, low: str | None, high: str | None) -> None:
    limit = parse_limit(text, kind)
    assert (value(limit.low), value(limit.high)) == (low and Decimal(low), high and Decimal(high))
    assert (limit.text, limit.open, limit.empty) == (text, False, False)


def test_the_ends_carry_a_text_that_means_them() -> None:
    limit = parse_limit("10 .. 60 kohm")
    assert limit.low == Quantity(Decimal(10_000), "Ω", "10 kohm")
    assert limit.high == Quantity(Decimal(60_000), "Ω", "60 kohm")
    around = parse_limit("12 V ± 5 %")
    assert around.low is not None
    assert around.low.text == "11.4 V"


@pytest.mark.parametrize("kind", KINDS)
def test_an_open_limit_has_the_unit_of_its_kind(kind: str) -> None:
    assert parse_limit("OL", kind) == Limit(None, None, open=True, text="OL", unit=KINDS[kind].unit)


def test_an_open_limit_without_kind_suits_every_unit() -> None:
    assert parse_limit("OL") == Limit(None, None, open=True, text="OL", unit="")


@pytest.mark.parametrize("text", ["60 Ω .. 10 Ω", "60 .. 10 Ω", "1 kΩ .. 10 Ω", "1 .. -1 V"])
def test_a_limit_that_nothing_can_meet_is_read_and_told(text: str) -> None:
    assert parse_limit(text).empty


def test_a_limit_of_one_value_is_not_empty() -> None:
    assert not parse_limit("5 V .. 5 V").empty
    assert not parse_limit("5 V ± 0 V").empty


@given(kinds_and_limits())
def test_the_second_reader_agrees_on_sound_texts(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    expected = read_limit(text, kind)
    assert expected is not None
    assert_same_bounds(parse_limit(text, kind), expected)


@given(kinds_and_limits().flatmap(lambda drawn: st.tuples(st.just(drawn[0]), smudged(drawn[1]))))
def test_the_second_reader_agrees_on_smudged_texts(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    expected = read_limit(text, kind)
    try:
        limit = parse_limit(text, kind)
    except LimitError:
        assert expected is None
    else:
        assert expected is not None
        assert_same_bounds(limit, expected)


@given(kinds_and_limits())
def test_without_a_kind_one_unit_tells_as_much(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    a_unit_is_written = re.search(r"[0-9] [^ 0-9.%±+/≤≥<>−-]", text)
    assume(a_unit_is_written)
    told, untold = parse_limit(text, kind), parse_limit(text)
    assert (value(untold.low), value(untold.high)) == (value(told.low), value(told.high))


@given(kinds_and_limits())
def test_the_usual_spelling_keeps_the_meaning_and_stays(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    usual = usual_limit_spelling(text, kind)
    meant, kept = parse_limit(text, kind), parse_limit(usual, kind)
    assert (value(kept.low), value(kept.high), kept.open) == (value(meant.low), value(meant.high), meant.open)
    assert usual_limit_spelling(usual, kind) == usual


@pytest.mark.parametrize(
    ("text", "kind", "usual"),
    [
        ("12 V +/- 5%", None, "12 V ± 5 %"),
        ("≥200 ohm", None, ">= 200 Ω"),
        ("<=95 degC", None, "<= 95 °C"),
        ("10..60 kohm", None, "10 .. 60 kΩ"),
        ("10 ohm..60 ohm", None, "10 Ω .. 60 Ω"),
        ("-40 .. 85 degC", None, "−40 .. 85 °C"),
        ("12 V+10%/-5%", None, "12 V +10 % / −5 %"),
        ("12 V -0.2 V/+ 100 mV", None, "12 V −0.2 V / +100 mV"),
        ("4k7 ±5 %", "resistance", "4K7 ± 5 %"),
        ("OL", "resistance", "OL"),
    ],
)
def test_usual_spellings(text: str, kind: str | None, usual: str) -> None:
    assert usual_limit_spelling(text, kind) == usual


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        # SI Brochure, 9th edition, 2.3.1: a difference of 1 K is one of 1 °C; NIST SP 811, B.8: 18 °F are 10 K
        ("<= 70 °C", None, "70"),
        ("<= 70 K", None, "70"),
        (">= 18 °F", "10", None),
        ("9 .. 90 °F", "5", "50"),
        ("10 .. 70 K", "10", "70"),
        ("40 °C ± 5 °C", "35", "45"),
    ],
)
def test_a_temperature_limit_as_one_of_a_rise(text: str, low: str | None, high: str | None) -> None:
    rise = as_rise(parse_limit(text))
    assert (value(rise.low), value(rise.high)) == (low and Decimal(low), high and Decimal(high))
    assert (rise.text, rise.unit) == (text, "°C")


@given(NUMBER, NUMBER, ANY_KIND)
def test_a_range_is_empty_exactly_when_its_ends_are_crossed(low: str, high: str, kind: str) -> None:
    unit = KINDS[kind].unit
    limit = parse_limit(f"{low} {unit} .. {high} {unit}", kind)
    crossed = parse_quantity(f"{low} {unit}", kind).value > parse_quantity(f"{high} {unit}", kind).value
    assert limit.empty == crossed


def value(end: Quantity | None) -> Decimal | None:
    return None if end is None else end.value


def assert_same_bounds(limit: Limit, expected: Bounds) -> None:
    """Hold the ends of a limit to the second reader's; its ninths of °F may meet in a sum."""
    for end, other in ((limit.low, expected.low), (limit.high, expected.high)):
        if end is None or other is None:
            assert end is None
            assert other is None
        elif limit.unit == "°C":
            assert abs(Fraction(end.value) - other) < Fraction(1, 10**18)
        else:
            assert_same_value(end.value, other)
