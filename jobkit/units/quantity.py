"""Quantities: a number that never travels without its unit."""

from decimal import Decimal
from functools import lru_cache
from typing import NoReturn

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.grammar import size_of, take_apart, value_of
from jobkit.units.kinds import KINDS
from jobkit.units.refusals import why_no_quantity
from jobkit.units.temperature import celsius_span
from jobkit.units.written import show, write_out

__all__ = [
    "OPEN",
    "OtherKindError",
    "Quantity",
    "QuantityError",
    "parse_quantity",
    "parse_span",
    "plain",
    "show",
    "usual_spelling",
]

OPEN = "OL"
"""How an open reading is written, as meters show it."""


class QuantityError(MisuseError):
    """A text is not a quantity; `text` is that text, `meant` the sound ones that may have been meant."""

    def __init__(self, message: str, mend: str = "", text: str = "", meant: tuple[str, ...] = ()) -> None:
        super().__init__(message, mend)
        self.text = text
        self.meant = meant


class OtherKindError(QuantityError):
    """A text is a quantity, but of another kind than is measured here."""


class Quantity(NamedTuple):
    """An exact value in the base unit (a temperature in °C), and the text it was written as.

    Compare and sort by `value`: two quantities are equal as records only if they were written alike too.
    """

    value: Decimal
    unit: str
    text: str

    def __add__(self, other: object) -> NoReturn:
        """Refuse to add: as records the two would be joined end to end, and temperatures cannot be added at all."""
        raise TypeError(f"cannot add {self.text} and {other}: add their values, where a sum makes sense")

    @property
    def open(self) -> bool:
        """Tell whether the meter showed an open circuit, beyond its range."""
        return self.value.is_infinite()


def parse_quantity(text: str, kind: str | None = None) -> Quantity:
    """Read a quantity of a kind, or of whatever kind its unit tells; raises QuantityError, which says how to fix it.

    A component code (IEC 60062) and `OL` need the kind, which tells their unit.

    >>> parse_quantity("23.4 ohm").value, parse_quantity("4K7", "resistance").value, parse_quantity("98.6 °F").value
    (Decimal('23.4'), Decimal('4.7E+3'), Decimal('37.0'))
    """
    return _parse(text, kind)


def parse_span(text: str, kind: str | None = None) -> Quantity:
    """Read a difference of two values, such as a tolerance or a meter's step; raises QuantityError.

    It differs from `parse_quantity` only for temperatures on other scales: a span of 18 °F is a span of 10
    °C.

    >>> parse_span("18 °F").value, parse_span("2 K").value
    (Decimal('10'), Decimal('2'))
    """
    parts = take_apart(text, kind)
    if parts is None:
        raise _refused(text, kind)
    size, scale = size_of(parts), parts.spelling.scale
    return Quantity(celsius_span(size, scale) if scale else size, parts.spelling.unit, text)


def usual_spelling(text: str, kind: str | None = None) -> str:
    """Write a quantity's unit and sign the usual way, digits untouched, value the same; raises QuantityError.

    >>> usual_spelling("23.40 ohm"), usual_spelling("-40 degC"), usual_spelling("2u2", "capacitance")
    ('23.40 Ω', '−40 °C', '2µ2')
    """
    if _parse(text, kind).open:
        return OPEN
    parts = take_apart(text, kind)
    assert parts is not None, text
    return parts.usual


def plain(value: Decimal, unit: str) -> Quantity:
    """Make a quantity of a computed value in its base unit; the text has all its digits.

    >>> plain(Decimal("11.40"), "V").text
    '11.4 V'
    """
    return Quantity(value, unit, write_out(value, unit))


@lru_cache(maxsize=8192)
def _parse(text: str, kind: str | None) -> Quantity:
    parts = take_apart(text, kind)
    if parts is not None:
        return Quantity(value_of(parts), parts.spelling.unit, text)
    if text == OPEN and kind is not None and kind in KINDS:
        return Quantity(Decimal("Infinity"), KINDS[kind].unit, text)
    raise _refused(text, kind)


def _refused(text: str, kind: str | None) -> QuantityError:
    why = why_no_quantity(text, kind)
    return (OtherKindError if why.other_kind else QuantityError)(why.message, why.mend, text, why.meant)
