"""Temperatures and differences of temperature on other scales, in °C.

A temperature and a difference of temperatures convert differently: 18 °F on the scale is −7.8 °C, a span of
18 °F is a span of 10 °C. Two temperatures are never added; a span may be added to a temperature.
"""

from collections.abc import Mapping
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.exact import EXACT, ROOT


class Scale(NamedTuple):
    """A temperature scale: its reading at 0 °C, and `degrees` of it to `kelvins` kelvin."""

    at_zero: Decimal
    degrees: Decimal
    kelvins: Decimal


SCALES: Mapping[str, Scale] = {
    "°C": Scale(Decimal(0), Decimal(1), Decimal(1)),
    "K": Scale(Decimal("273.15"), Decimal(1), Decimal(1)),
    "°F": Scale(Decimal(32), Decimal(9), Decimal(5)),
}
"""The scales by symbol: SI Brochure, 9th edition, 2.3.1 (kelvin, degree Celsius); NIST SP 811, B.8 (Fahrenheit)."""


def celsius(value: Decimal, scale: str) -> Decimal:
    """Convert a temperature to °C; raises KeyError for an unknown scale.

    Exact where the answer ends, else to 28 digits.

    >>> celsius(Decimal("98.6"), "°F"), celsius(Decimal("298.15"), "K")
    (Decimal('37.0'), Decimal('25.00'))
    """
    return celsius_span(EXACT.subtract(value, SCALES[scale].at_zero), scale)


def celsius_span(span: Decimal, scale: str) -> Decimal:
    """Convert a difference of temperatures to °C; raises KeyError for an unknown scale.

    Exact where the answer ends, else to 28 digits.

    >>> celsius_span(Decimal(18), "°F")
    Decimal('10')
    """
    of = SCALES[scale]
    scaled = EXACT.multiply(span, of.kelvins)
    return scaled if of.degrees == 1 else ROOT.divide(scaled, of.degrees)
