"""How far a board's own sensor can be trusted, as it is written and as it is used."""

from __future__ import annotations

from decimal import Decimal

import pytest

from jobkit.units.errors import MisuseError
from jobkit.units.sensor_accuracy import SensorAccuracy, parse_sensor_accuracy


@pytest.mark.parametrize(
    ("text", "value", "limit"),
    [
        # by hand: a share of the value's size, or the span whatever the value
        ("2 %", "230", "4.60"),
        ("2.5%", "-40", "1"),
        ("0 %", "85", "0"),
        ("2 °C", "85", "2"),
        ("2 °C", "-40", "2"),
        ("0.5 °C", "85", "0.5"),
        ("0 °C", "85", "0"),
        # NIST SP 811, B.8: a span of 18 °F is one of 10 °C; SI Brochure, 2.3.1: 2 K one of 2 °C
        ("18 °F", "85", "10"),
        ("2 K", "85", "2"),
        ("50 mV", "12", "0.05"),
    ],
)
def test_the_limit_of_error_of_a_sensor(text: str, value: str, limit: str) -> None:
    accuracy = parse_sensor_accuracy(text)
    assert accuracy.limit_of_error(Decimal(value)) == Decimal(limit)
    assert accuracy.text == text


def test_a_share_has_no_unit_and_a_span_has_one() -> None:
    assert parse_sensor_accuracy("3 %") == SensorAccuracy(percent=Decimal(3), text="3 %")
    assert parse_sensor_accuracy("18 °F") == SensorAccuracy(span=Decimal(10), unit="°C", text="18 °F")


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        ("-2 °C", 'an accuracy has no sign: "-2 °C"', "write it without the minus"),
        ("-0.5 °C", 'an accuracy has no sign: "-0.5 °C"', "write it without the minus"),
        ("-2 %", '"-2 %" is not an accuracy', 'write it like "2 °C" or "3 %"'),
        ("good", '"good" is not an accuracy', 'write it like "2 °C" or "3 %"'),
        ("2", '"2" is not an accuracy', 'write it like "2 °C" or "3 %"'),
    ],
)
def test_what_is_not_an_accuracy_is_refused(text: str, message: str, mend: str) -> None:
    with pytest.raises(MisuseError) as refused:
        parse_sensor_accuracy(text)
    assert (refused.value.message, refused.value.mend) == (message, mend)
