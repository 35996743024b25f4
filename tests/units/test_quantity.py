"""Reading quantities: tables of the standards, round trips, and pint as a second opinion."""

from collections.abc import Callable
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.kinds import KINDS, SPELLINGS
from jobkit.units.quantity import (
    OtherKindError,
    Quantity,
    QuantityError,
    parse_quantity,
    parse_span,
    plain,
    usual_spelling,
)
from tests.units.second_reader import read_quantity
from tests.units.written_by_hand import EXACT_DECIMALS, NUMBER, UNIT_TEXTS, kinds_and_quantities, smudged

REGISTRY: Any = pint.UnitRegistry(non_int_type=Decimal)
KNOWN_TO_PINT = [unit for unit in SPELLINGS if unit in REGISTRY and unit != "fps"]


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        # SI Brochure, 8th edition, 5.3.3 (9th, 5.4.3); NIST SP 811, 7.2: a space, the prefix attached
        ("30.2 °C", "30.2", "°C"),
        ("10 kΩ", "10000", "Ω"),
        # our own format
        ("23.4 Ω", "23.4", "Ω"),
        ("46 mΩ", "0.046", "Ω"),
        ("46 MΩ", "46000000", "Ω"),
        ("1.35 V", "1.35", "V"),
        ("−40 °C", "-40", "°C"),
        ("-40 °C", "-40", "°C"),
        ("+5 V", "5", "V"),
        ("23.4 ohm", "23.4", "Ω"),
        ("4.7 uF", "0.0000047", "F"),
        ("4.7 µF", "0.0000047", "F"),
        ("4.7 \u03bcF", "0.0000047", "F"),
        ("85 degC", "85", "°C"),
        ("23.4 \u2126", "23.4", "Ω"),
        ("-0.00 V", "0", "V"),
        # a good memory rail of a graphics card, cold: common practice, no source; a check value, never a limit
        ("16.6 Ω", "16.6", "Ω"),
        ("0.4 Ω", "0.4", "Ω"),
        ("1 GHz", "1000000000", "Hz"),
        ("007.50 V", "7.5", "V"),
    ],
)
def test_a_quantity_has_its_exact_value_in_the_base_unit(text: str, value: str, unit: str) -> None:
    assert parse_quantity(text) == Quantity(Decimal(value), unit, text)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        # IEC 60062, letter and digit codes (from a copy)
        ("R47", "resistance", "0.47"),
        ("4R7", "resistance", "4.7"),
        ("470R", "resistance", "470"),
        ("4K7", "resistance", "4700"),
        ("47K3", "resistance", "47300"),
        ("4M7", "resistance", "4.7e6"),
        ("1K0", "resistance", "1000"),
        ("2M2", "resistance", "2.2e6"),
        ("10p", "capacitance", "1e-11"),
        ("4n7", "capacitance", "4.7e-9"),
        ("1µ0", "capacitance", "1e-6"),
        # L as 10 to the -3 ohm (from a copy)
        ("5L", "resistance", "0.005"),
        ("L47", "resistance", "0.00047"),
        ("2L20", "resistance", "0.0022"),
        # common usage, from memory
        ("0R22", "resistance", "0.22"),
        ("6n8", "capacitance", "6.8e-9"),
        ("2u2", "capacitance", "2.2e-6"),
        ("2\u03bc2", "capacitance", "2.2e-6"),
        ("4k7", "resistance", "4700"),
        ("2u2", "inductance", "2.2e-6"),
        ("F47", "capacitance", "0.47"),
    ],
)
def test_a_component_code_takes_its_unit_from_the_kind(text: str, kind: str, value: str) -> None:
    assert parse_quantity(text, kind) == Quantity(Decimal(value), KINDS[kind].unit, text)


@pytest.mark.parametrize("kind", KINDS)
def test_an_open_reading_is_infinite_in_the_unit_of_its_kind(kind: str) -> None:
    reading = parse_quantity("OL", kind)
    assert reading.open
    assert reading == Quantity(Decimal("Infinity"), KINDS[kind].unit, "OL")
    assert not parse_quantity(f"1 {KINDS[kind].unit}", kind).open


def test_minus_zero_has_no_sign() -> None:
    for text in ("-0 V", "−0.00 mV", "-0.0 °C"):
        assert not parse_quantity(text).value.is_signed()


@given(kinds_and_quantities())
def test_the_second_reader_agrees_on_sound_texts(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    assert_same_value(parse_quantity(text, kind).value, read_quantity(text, kind))


@given(kinds_and_quantities().flatmap(lambda drawn: st.tuples(st.just(drawn[0]), smudged(drawn[1]))))
def test_the_second_reader_agrees_on_smudged_texts(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    expected = read_quantity(text, kind)
    try:
        quantity = parse_quantity(text, kind)
    except QuantityError:
        assert expected is None
    else:
        assert quantity.open or expected is not None
        if not quantity.open:
            assert_same_value(quantity.value, expected)


def test_pint_knows_every_usual_unit() -> None:
    # To pint, fps is feet a second, and rpm is 2π/60 rad/s.
    assert {spelling.usual for spelling in SPELLINGS.values()} - {"fps"} <= set(KNOWN_TO_PINT)


@given(NUMBER, st.sampled_from(KNOWN_TO_PINT))
def test_pint_agrees_on_the_units_that_it_knows(number: str, unit: str) -> None:
    quantity = parse_quantity(f"{number} {unit}")
    theirs = REGISTRY.Quantity(Decimal(number.replace("−", "-")), unit).to(quantity.unit)
    # the registry computes at decimal's default 28 digits
    assert abs(theirs.magnitude - quantity.value) <= abs(quantity.value) * Decimal("1e-24") + Decimal("1e-24")


@given(UNIT_TEXTS, st.data())
def test_quantities_are_ordered_as_their_numbers(unit: str, data: st.DataObject) -> None:
    one, other = data.draw(NUMBER), data.draw(NUMBER)
    values = [parse_quantity(f"{number} {unit}").value for number in (one, other)]
    numbers = [Fraction(number.replace("−", "-")) for number in (one, other)]
    assert (values[0] < values[1]) == (numbers[0] < numbers[1])
    assert (values[0] == values[1]) == (numbers[0] == numbers[1])


@given(EXACT_DECIMALS, st.sampled_from(sorted({kind.unit for kind in KINDS.values()})))
def test_a_computed_value_survives_its_text(value: Decimal, unit: str) -> None:
    written = plain(value, unit)
    read = parse_quantity(written.text)
    assert (read.value, read.unit) == (value, unit)
    assert usual_spelling(written.text) == written.text


@given(kinds_and_quantities())
def test_the_usual_spelling_keeps_value_and_digits_and_stays(drawn: tuple[str, str]) -> None:
    kind, text = drawn
    usual = usual_spelling(text, kind)
    assert parse_quantity(usual, kind).value == parse_quantity(text, kind).value
    assert [letter for letter in usual if letter in "0123456789."] == [
        letter for letter in text if letter in "0123456789."
    ]
    assert usual_spelling(usual, kind) == usual


@pytest.mark.parametrize(
    ("text", "kind", "usual"),
    [
        ("23.4 ohm", None, "23.4 Ω"),
        ("23.40 \u2126", None, "23.40 Ω"),
        ("3.30 kohm", "resistance", "3.30 kΩ"),
        ("85 degC", None, "85 °C"),
        ("-40 degC", None, "−40 °C"),
        ("203 degF", None, "203 °F"),
        ("4.7 uF", None, "4.7 µF"),
        ("4.7 \u03bcF", None, "4.7 µF"),
        ("4k7", "resistance", "4K7"),
        ("2u2", "capacitance", "2µ2"),
        ("OL", "diode", "OL"),
    ],
)
def test_usual_spellings(text: str, kind: str | None, usual: str) -> None:
    assert usual_spelling(text, kind) == usual


def test_a_number_of_many_digits_is_kept_to_the_last_whatever_the_context() -> None:
    digits = "123.12345678901234567890123456789012345678901"
    with localcontext() as context:
        context.prec = 5
        assert parse_quantity(f"{digits} MΩ").value == Decimal(digits + "E6")
        assert plain(Decimal(digits), "V").text == f"{digits} V"


def test_a_span_of_another_scale_is_no_temperature() -> None:
    # SI Brochure, 9th edition, 2.3.1: an interval of 1 °C is one of 1 K; NIST SP 811, B.8: 10 °C are 18 °F
    assert parse_span("18 °F") == Quantity(Decimal(10), "°C", "18 °F")
    assert parse_span("10 K").value == parse_span("10 °C").value == 10
    assert parse_span("0.01 ohm", "resistance") == Quantity(Decimal("0.01"), "Ω", "0.01 ohm")


@pytest.mark.parametrize("read", [parse_quantity, parse_span, usual_spelling])
def test_a_quantity_of_another_kind_is_told_from_nonsense(read: Callable[[str, str], object]) -> None:
    with pytest.raises(OtherKindError):
        read("5 V", "resistance")
    with pytest.raises(QuantityError) as nonsense:
        read("5 Vx", "resistance")
    assert not isinstance(nonsense.value, OtherKindError)


def test_quantities_are_not_added_as_the_tuples_that_they_are() -> None:
    # adding two Celsius temperatures is an error (SI Brochure; pint refuses it too)
    warm = parse_quantity("20 °C")
    with pytest.raises(TypeError, match="cannot add 20 °C"):
        warm + warm
    with pytest.raises(pint.OffsetUnitCalculusError):
        REGISTRY.Quantity(Decimal(20), "degC") + REGISTRY.Quantity(Decimal(20), "degC")


def test_two_resistors_in_parallel() -> None:
    # 4.7 kΩ parallel 10 kΩ = 3197.279 Ω: elementary circuit theory, recomputed
    one, other = (parse_quantity(text, "resistance").value for text in ("4K7", "10 kΩ"))
    assert round(one * other / (one + other), 3) == Decimal("3197.279")


def test_every_spelling_can_be_read_with_each_of_its_kinds() -> None:
    for written, spelling in SPELLINGS.items():
        for kind in KINDS.values():
            if kind.unit == spelling.unit:
                assert parse_quantity(f"1 {written}", kind.name).unit == spelling.unit
            else:
                with pytest.raises(QuantityError):
                    parse_quantity(f"1 {written}", kind.name)


def assert_same_value(value: Decimal, expected: Fraction | None) -> None:
    """Hold a value to the second reader's: exact, save that ninths of °F are cut at 28 digits."""
    assert expected is not None
    difference = abs(Fraction(value) - expected)
    ninths = expected.denominator % 3 == 0
    assert difference == 0 or (ninths and difference <= abs(expected) * Fraction(1, 10**27))
