"""Temperature scales, with pint as a second opinion."""

from decimal import Decimal
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.temperature import SCALES, celsius, celsius_span

REGISTRY: Any = pint.UnitRegistry(non_int_type=Decimal)
THEIR_NAMES = {"°C": ("degC", "delta_degC"), "K": ("kelvin", "kelvin"), "°F": ("degF", "delta_degF")}
VALUES = st.decimals(-1000, 5000, allow_nan=False, places=4)


@pytest.mark.parametrize(
    ("value", "scale", "expected"),
    [
        ("298.15", "K", "25"),  # SI Brochure, 9th edition, 2.3.1
        ("98.6", "°F", "37"),  # NIST SP 811, B.8
        ("422.6", "°F", "217"),  # 217 °C, liquidus of SAC305, by the same conversion
        ("-40", "°F", "-40"),
        ("217", "°C", "217"),
    ],
)
def test_temperatures_in_celsius(value: str, scale: str, expected: str) -> None:
    assert celsius(Decimal(value), scale) == Decimal(expected)


@pytest.mark.parametrize(
    ("span", "scale", "expected"), [("18", "°F", "10"), ("10", "K", "10"), ("10", "°C", "10")]
)
def test_spans_in_celsius(span: str, scale: str, expected: str) -> None:
    # NIST SP 811, B.8: an interval of 10 °C is one of 18 °F, and one of 10 K
    assert celsius_span(Decimal(span), scale) == Decimal(expected)


@given(VALUES, st.sampled_from(sorted(SCALES)))
def test_pint_agrees(value: Decimal, scale: str) -> None:
    name, span_name = THEIR_NAMES[scale]
    theirs = REGISTRY.Quantity(value, name).to("degC").magnitude
    their_span = REGISTRY.Quantity(value, span_name).to("delta_degC").magnitude
    assert abs(celsius(value, scale) - theirs) < Decimal("1e-20")
    assert abs(celsius_span(value, scale) - their_span) < Decimal("1e-20")


@given(VALUES, VALUES, st.sampled_from(sorted(SCALES)))
def test_a_span_is_the_difference_of_two_temperatures(one: Decimal, other: Decimal, scale: str) -> None:
    difference = celsius(one, scale) - celsius(other, scale)
    assert abs(difference - celsius_span(one - other, scale)) < Decimal("1e-20")


def test_an_unknown_scale_is_a_mistake_of_the_program() -> None:
    with pytest.raises(KeyError):
        celsius(Decimal(1), "°R")
