"""How a computed value is written for people: SI prefix and significant digits, never through a float."""

from decimal import ROUND_HALF_EVEN, Context, Decimal

from jobkit.units.exact import EXACT
from jobkit.units.kinds import PREFIXES, UNITS

MINUS = "−"
"""The minus sign of computed text; files may use the hyphen as well."""


def show(value: Decimal, unit: str, digits: int = 3) -> str:
    """Write a value in its base unit for people: to `digits` significant digits, SI prefix, no idle zeros.

    Rounds half to even (ISO 80000-1:2009, B.3, rule A). From 0.1 up to 1000 the base unit is alone. A unit that is not
    in the tables (`°C/W`) is written without prefixes.

    >>> [show(Decimal(value), "Ω") for value in ("0.3", "11.40", "0.046", "999.96")]
    ['0.3 Ω', '11.4 Ω', '46 mΩ', '1 kΩ']
    """
    if not value.is_finite():
        return write_out(value, unit)
    return write_out(rounded(value, digits), unit)


def told_apart(
    value: Decimal, other: Decimal, unit: str, digits: tuple[int, int] = (3, 2)
) -> tuple[str, str]:
    """Write two values of one unit for people, with as many digits more as show which of them is the larger.

    The first is written to `digits[0]` significant digits and the other to `digits[1]`; where these would look alike,
    or the wrong way round, both get one more, and so on up to the 28 digits of a computed value.

    >>> told_apart(Decimal("0.1303"), Decimal("0.1317"), "Ω"), told_apart(Decimal(5), Decimal("0.1317"), "Ω")
    (('0.1303 Ω', '0.132 Ω'), ('5 Ω', '0.13 Ω'))
    """
    order = value.compare(other)
    for more in range(28):
        left, right = rounded(value, digits[0] + more), rounded(other, digits[1] + more)
        if left.compare(right) == order:
            break
    return write_out(left, unit), write_out(right, unit)


def rounded(value: Decimal, digits: int) -> Decimal:
    """Round a value to significant digits, half to even (ISO 80000-1:2009, B.3, rule A)."""
    return Context(prec=digits, rounding=ROUND_HALF_EVEN).plus(value)


def write_out(value: Decimal, unit: str) -> str:
    """Write a value in its base unit with all its digits and a prefix that suits it; an infinite one is `OL`.

    >>> write_out(Decimal("3197.279"), "Ω")
    '3.197279 kΩ'
    """
    if value.is_infinite():
        return "OL"
    prefix = _prefix(value, unit)
    return f"{plain_digits(EXACT.scaleb(value, -PREFIXES[prefix]))} {prefix}{unit}"


def plain_digits(value: Decimal) -> str:
    """Write a finite number without exponent and idle zeros.

    >>> plain_digits(Decimal("-1.50E+3"))
    '−1500'
    """
    digits = f"{value.copy_abs():f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    return MINUS + digits if value < 0 else digits


def _prefix(value: Decimal, unit: str) -> str:
    """Choose the prefix: none from 0.1 to 1000, else the largest that leaves a digit before the point."""
    known = UNITS.get(unit)
    if known is None or not value or Decimal("0.1") <= value.copy_abs() < 1000:
        return ""
    fitting = [prefix for prefix in known.prefixes if PREFIXES[prefix] <= value.adjusted()]
    return (
        max(fitting, key=PREFIXES.__getitem__) if fitting else min(known.prefixes, key=PREFIXES.__getitem__)
    )
