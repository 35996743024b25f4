"""The forms that a limit is written in: one row a form, with the ends it means and its usual spelling.

A part that cannot be read raises QuantityError; `jobkit.units.limit` says which limit it is in.
"""

import re
from collections.abc import Callable
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.exact import EXACT
from jobkit.units.grammar import NUMBER, take_apart
from jobkit.units.quantity import Quantity, QuantityError, parse_quantity, parse_span, plain, usual_spelling
from jobkit.units.refusals import why_no_quantity
from jobkit.units.slip import quoted
from jobkit.units.written import MINUS

Ends = tuple[Quantity | None, Quantity | None]


class Form(NamedTuple):
    """A form: its pattern, the ends that its parts mean for a kind, and how the parts are usually written."""

    pattern: str
    ends: Callable[[tuple[str, ...], str | None], Ends]
    usual: Callable[[tuple[str, ...], str | None], str]


_TOLERANCE = r"([0-9]+(?:\.[0-9]+)?)(?: *(%)| \S+)"


def _compared(parts: tuple[str, ...], kind: str | None) -> Ends:
    sign, text = parts
    end = _end(text, kind)
    return (end, None) if sign in (">=", "≥") else (None, end)


def _compared_usual(parts: tuple[str, ...], kind: str | None) -> str:
    sign, text = parts
    return f"{'>=' if sign in ('>=', '≥') else '<='} {usual_spelling(text, kind)}"


def _range(parts: tuple[str, ...], kind: str | None) -> Ends:
    low, high = parts
    upper = _end(high, kind)
    return _end(_with_unit_of(high, low, kind), kind), upper


def _range_usual(parts: tuple[str, ...], kind: str | None) -> str:
    low, high = parts
    usual_low = low.replace("-", MINUS) if re.fullmatch(NUMBER, low) else usual_spelling(low, kind)
    return f"{usual_low} .. {usual_spelling(high, kind)}"


def _even(parts: tuple[str, ...], kind: str | None) -> Ends:
    middle, tolerance = parts
    return _around(middle, tolerance, tolerance, kind)


def _even_usual(parts: tuple[str, ...], kind: str | None) -> str:
    middle, tolerance = parts
    return f"{usual_spelling(middle, kind)} ± {_usual_tolerance(tolerance, kind)}"


def _plus_minus(parts: tuple[str, ...], kind: str | None) -> Ends:
    middle, above, below = parts
    return _around(middle, below, above, kind)


def _plus_minus_usual(parts: tuple[str, ...], kind: str | None) -> str:
    middle, above, below = parts
    tolerances = f"+{_usual_tolerance(above, kind)} / {MINUS}{_usual_tolerance(below, kind)}"
    return f"{usual_spelling(middle, kind)} {tolerances}"


def _minus_plus(parts: tuple[str, ...], kind: str | None) -> Ends:
    middle, below, above = parts
    return _around(middle, below, above, kind)


def _minus_plus_usual(parts: tuple[str, ...], kind: str | None) -> str:
    middle, below, above = parts
    tolerances = f"{MINUS}{_usual_tolerance(below, kind)} / +{_usual_tolerance(above, kind)}"
    return f"{usual_spelling(middle, kind)} {tolerances}"


def _end(text: str, kind: str | None) -> Quantity:
    end = parse_quantity(text, kind)
    if end.open:
        raise QuantityError(
            '"OL" is not an end of a limit', 'write "OL" alone where the reading should be open'
        )
    return end


def _with_unit_of(other: str, text: str, kind: str | None) -> str:
    """Give a bare number the whole unit of the other end, as that is written; leave any other text alone."""
    if not re.fullmatch(NUMBER, text):
        return text
    parts = take_apart(other, kind)
    assert parts is not None, other
    return f"{text} {other.partition(' ')[2] or parts.spelling.usual}"


def _around(middle: str, below: str, above: str, kind: str | None) -> Ends:
    centre = _end(middle, kind)
    low = EXACT.subtract(centre.value, _size(below, centre, kind))
    high = EXACT.add(centre.value, _size(above, centre, kind))
    return plain(low, centre.unit), plain(high, centre.unit)


def _size(tolerance: str, centre: Quantity, kind: str | None) -> Decimal:
    """Give a tolerance in base units; a percentage is of the size of the centre."""
    found = re.fullmatch(_TOLERANCE, tolerance)
    if found is None:
        message, meant = f"{quoted(tolerance)} is not a tolerance", why_no_quantity(tolerance, kind).meant
        raise QuantityError(message, 'write it like "5 %" or "0.5 V"', tolerance, meant)
    if not found[2]:
        return parse_span(tolerance, kind).value
    if centre.unit == "°C":
        why = "a percentage of a temperature has no meaning, because the zero of the scale is arbitrary"
        raise QuantityError(why, 'give the tolerance in °C, such as "± 5 °C"')
    return EXACT.multiply(centre.value.copy_abs(), Decimal(f"{found[1]}e-2"))


def _usual_tolerance(tolerance: str, kind: str | None) -> str:
    found = re.fullmatch(_TOLERANCE, tolerance)
    return f"{found[1]} %" if found and found[2] else usual_spelling(tolerance, kind)


FORMS = (
    Form(r"(>=|≥|<=|≤) *(.+)", _compared, _compared_usual),
    Form(r"(.+?) *\.\. *(.+)", _range, _range_usual),
    Form(r"(.+?) *(?:±|\+/-) *(.+)", _even, _even_usual),
    Form(r"(.+?) *\+ *([^+]+?) */ *[-−] *([^+]+)", _plus_minus, _plus_minus_usual),
    Form(r"(.+?) *[-−] *([^+]+?) */ *\+ *([^+]+)", _minus_plus, _minus_plus_usual),
)
"""The forms in the order in which they are tried; `OL` is not a form, as it has no parts."""
