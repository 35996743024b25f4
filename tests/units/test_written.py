"""Computed values as people see them."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.kinds import UNITS
from jobkit.units.quantity import parse_quantity
from jobkit.units.written import plain_digits, show, told_apart, write_out
from tests.units.written_by_hand import EXACT_DECIMALS


@pytest.mark.parametrize(
    ("value", "unit", "digits", "text"),
    [
        ("0.3", "Ω", 3, "0.3 Ω"),
        ("11.40", "V", 3, "11.4 V"),
        ("0.046", "Ω", 3, "46 mΩ"),
        ("200", "Ω", 3, "200 Ω"),
        ("4700", "Ω", 3, "4.7 kΩ"),
        ("3197.279", "Ω", 7, "3.197279 kΩ"),
        ("0.331", "Ω", 2, "0.33 Ω"),
        ("999.6", "Ω", 3, "1 kΩ"),
        ("0.09996", "Ω", 3, "0.1 Ω"),
        ("0.0999", "Ω", 3, "99.9 mΩ"),
        ("1234567", "Hz", 3, "1.23 MHz"),
        ("234", "Ω", 2, "230 Ω"),
        ("-0.2", "V", 3, "−0.2 V"),
        ("0", "V", 3, "0 V"),
        ("-0.00", "V", 3, "0 V"),
        ("85", "°C", 3, "85 °C"),
        ("0.02", "°C", 3, "0.02 °C"),
        ("1.5", "°C/W", 3, "1.5 °C/W"),
        ("0.000000000002", "Ω", 3, "0.000002 µΩ"),
        ("7000000000000", "Ω", 3, "7000 GΩ"),
        ("Infinity", "Ω", 3, "OL"),
        # ISO 80000-1:2009, B.3, rule A: halves go to the even digit (from memory)
        ("12.25", "V", 3, "12.2 V"),
        ("12.35", "V", 3, "12.4 V"),
    ],
)
def test_a_computed_value_is_shown_with_prefix_and_significant_digits(
    value: str, unit: str, digits: int, text: str
) -> None:
    assert show(Decimal(value), unit, digits) == text


@given(EXACT_DECIMALS, st.sampled_from(sorted(UNITS)), st.integers(1, 9))
def test_what_is_shown_is_off_by_no_more_than_half_its_last_digit(
    value: Decimal, unit: str, digits: int
) -> None:
    shown = Fraction(parse_quantity(show(value, unit, digits)).value)
    half_a_digit = Fraction(10) ** (value.adjusted() - digits + 1) / 2
    assert abs(shown - Fraction(value)) <= half_a_digit


@given(EXACT_DECIMALS, st.sampled_from(sorted(UNITS)))
def test_what_is_written_out_has_every_digit_and_no_exponent(value: Decimal, unit: str) -> None:
    text = write_out(value, unit)
    assert "e" not in text.lower()
    assert parse_quantity(text).value == value


@pytest.mark.parametrize(
    ("value", "text"), [("1E+3", "1000"), ("-0.500", "−0.5"), ("2", "2"), ("100", "100"), ("-0", "0")]
)
def test_plain_digits(value: str, text: str) -> None:
    assert plain_digits(Decimal(value)) == text


@pytest.mark.parametrize(
    ("value", "other", "texts"),
    [
        ("0.0924", "0.0916", ("92.4 mV", "92 mV")),
        ("0.00924", "0.009245", ("9.24 mV", "9.245 mV")),
        ("0.00925", "0.009245", ("9.25 mV", "9.2 mV")),
        ("0.13", "0.13289", ("0.13 V", "0.133 V")),
        ("0.13", "0.13", ("0.13 V", "0.13 V")),
        ("0.125", "0.125", ("0.125 V", "0.125 V")),
        ("5", "0.0044", ("5 V", "4.4 mV")),
        ("0", "0.13289", ("0 V", "0.13 V")),
        # no more than the 28 digits of a computed value, and the two that it begins with
        ("0." + "3" * 40, "0." + "3" * 41, (f"0.{'3' * 30} V", f"0.{'3' * 29} V")),
    ],
)
def test_two_figures_get_as_many_digits_as_tell_them_apart(
    value: str, other: str, texts: tuple[str, str]
) -> None:
    assert told_apart(Decimal(value), Decimal(other), "V") == texts


@given(EXACT_DECIMALS, EXACT_DECIMALS)
def test_figures_told_apart_never_look_alike_or_the_wrong_way_round(value: Decimal, other: Decimal) -> None:
    left, right = (Fraction(parse_quantity(text).value) for text in told_apart(value, other, "V"))
    assert (left > right) - (left < right) == (value > other) - (value < other)
