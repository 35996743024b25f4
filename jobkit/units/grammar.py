"""The letters and digits of a quantity: what they mean, or nothing where they are no quantity.

quantity = number " " unit | code        number = ["+" | "-" | "−"] digits ["." digits]
code     = digits letter [digits] | letter digits          IEC 60062: the letter is the prefix and the point
"""

import re
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.kinds import KINDS, LETTER_PREFIXES, SPELLINGS, UNITS, Spelling
from jobkit.units.temperature import celsius
from jobkit.units.written import MINUS

NUMBER = r"[+\-−]?[0-9]+(?:\.[0-9]+)?"
"""A signed number, as a pattern."""

LONGEST = 200
"""No quantity or limit has more letters: longer texts are refused unread, so that none takes long."""

_WRITTEN = re.compile(rf"({NUMBER}) (\S+)")
_CODE = r"([0-9]*)([RLKkMGFpnuµ\u03bcm])([0-9]*)"
_USUAL_LETTERS = {"k": "K", "u": "µ", "\u03bc": "µ"}


class Parts(NamedTuple):
    """A quantity taken apart: its number, the meaning of its unit, and the whole in its usual spelling."""

    number: str
    spelling: Spelling
    usual: str


def take_apart(text: str, kind: str | None = None) -> Parts | None:
    """Take a quantity apart; None where the text is not a quantity, or none of this kind.

    >>> take_apart("4k7", "resistance")
    Parts(number='4.7', spelling=Spelling(usual='kΩ', unit='Ω', exponent=3, scale=''), usual='4K7')
    """
    if len(text) > LONGEST:
        return None
    written = _WRITTEN.fullmatch(text)
    if written is None:
        return _take_code_apart(text, kind)
    number, name = written.groups()
    spelling = SPELLINGS.get(name)
    if spelling is None or (kind is not None and not _is_measured_in(kind, spelling.unit)):
        return None
    return Parts(number, spelling, f"{number.replace('-', MINUS)} {spelling.usual}")


def value_of(parts: Parts) -> Decimal:
    """Give the exact value in the base unit; a temperature in °C. Minus zero is zero.

    >>> value_of(take_apart("46 mΩ"))
    Decimal('0.046')
    """
    value = size_of(parts)
    return celsius(value, parts.spelling.scale) if parts.spelling.scale else value


def size_of(parts: Parts) -> Decimal:
    """Give the exact number of base units as written, whatever the temperature scale starts from."""
    value = Decimal(f"{parts.number.replace(MINUS, '-')}e{parts.spelling.exponent}")
    return value or value.copy_abs()


def _is_measured_in(kind: str, unit: str) -> bool:
    known = KINDS.get(kind)
    return known is not None and known.unit == unit


def _take_code_apart(text: str, kind: str | None) -> Parts | None:
    """Take an IEC 60062 code apart; the kind gives its unit."""
    code = re.fullmatch(_CODE, text)
    if code is None or kind is None or kind not in KINDS:
        return None
    before, letter, after = code.groups()
    unit = UNITS[KINDS[kind].unit]
    if letter not in unit.letters or not (before or after):
        return None
    number = f"{before or '0'}.{after}" if after else before
    spelling = SPELLINGS[LETTER_PREFIXES[letter] + unit.symbol]
    return Parts(number, spelling, f"{before}{_USUAL_LETTERS.get(letter, letter)}{after}")
