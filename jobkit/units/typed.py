"""Values as they are typed at the bench, or sent by a meter: short, with one hand, made sound before they are written.

    23.4   .31   23,4   1.35V   46m   3.2kohm   3k2   4R7   OL   o   +2.3400E+01 OHM   9.9E37

What is ambiguous is refused: `1,234` may be a decimal comma or mark thousands. Case tells `m` from `M`, so it is never
guessed for a prefix; a unit after it may be in any case, as meters print it.
"""

import re
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.grammar import LONGEST, take_apart
from jobkit.units.kinds import KINDS, PREFIXES, SPELLINGS, UNITS, kinds_of
from jobkit.units.number_slips import NEVER_WHOLE
from jobkit.units.part_marks import marked
from jobkit.units.quantity import OPEN, QuantityError, parse_quantity
from jobkit.units.slip import either, quoted
from jobkit.units.written import MINUS

OPEN_KINDS = ("resistance", "diode")
"""The kinds of which a reading can be open."""

_OPEN = frozenset(("o", "ol", "o.l", "o.l.", "0l", "0.l", "open"))
_OVERFLOW = Decimal("9.9E+37")
"""What an instrument sends for a value beyond its range (SCPI-99, volume 1, 7.2.1.4, INFinity; from memory)."""

_NUMBER = re.compile(
    r"([+\-−]?)((?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+\-−]?[0-9]{1,3}(?![0-9]))?) *(\S*)"
)
_AMBIGUOUS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_CODE = re.compile(r"(?:[0-9]+[RLKkMGFpnuµ\u03bcm][0-9]+|[0-9]+[RLKF]|[RLKkMGFpnuµ\u03bcm][0-9]+)")
_BY_ANY_CASE = {
    "ohm": "Ω", "ohms": "Ω", "ω": "Ω", "v": "V", "vdc": "V", "a": "A", "adc": "A", "f": "F", "h": "H", "hz": "Hz",
    "w": "W", "rpm": "rpm", "fps": "fps", "c": "°C", "°c": "°C", "degc": "°C",
}  # fmt: skip
_PREFIX_LETTERS = {"u": "µ", "\u03bc": "µ", **{prefix: prefix for prefix in PREFIXES}}


class _Parts(NamedTuple):
    """Sign, digits with a point, usual prefix ("" for none) and base unit ("" where none is told)."""

    sign: str
    digits: str
    prefix: str
    unit: str


def looks_like_value(text: str) -> bool:
    """Tell whether a word can only be meant as a value: it begins like a number, or says that the reading is open.

    >>> [looks_like_value(word) for word in ("23.4", "-.5V", "3k2", "ol", "V12", "ohm")]
    [True, True, True, True, False, False]
    """
    return bool(_NUMBER.fullmatch(text) or _CODE.fullmatch(text)) or text.casefold() in _OPEN


def is_unit(text: str) -> bool:
    """Tell whether a word is a unit that may stand apart from its number.

    >>> is_unit("ohm"), is_unit("VMEM")
    (True, False)
    """
    return text in SPELLINGS or text.casefold() in _BY_ANY_CASE


def kinds_told(text: str) -> tuple[str, ...]:
    """Name the kinds that a typed value tells by its unit, plainest first; empty where it tells none.

    >>> kinds_told("1.35V"), kinds_told("4u7"), kinds_told("OL"), kinds_told("23.4")
    (('voltage', 'diode', 'ripple'), ('capacitance', 'inductance'), ('resistance', 'diode'), ())
    """
    text = text.strip()
    if text.casefold() in _OPEN:
        return OPEN_KINDS
    if _CODE.fullmatch(text):
        return tuple(kind for kind in KINDS if take_apart(text, kind))
    parts = _take_apart(text)
    if parts is None:
        return ()
    if parts.unit:
        return kinds_of(parts.unit)
    return tuple(kind for kind in KINDS if _is_whole(parts, kind)) if parts.prefix else ()


def as_written(text: str, kind: str) -> str:
    """Spell a typed value as a job file has it, its digits kept; raises QuantityError, which says how to fix it.

    >>> [as_written(text, "resistance") for text in ("23,4", ".31", "3k2", "46m", "o", "+2.3400E+01 OHM")]
    ['23.4 Ω', '0.31 Ω', '3.2 kΩ', '46 mΩ', 'OL', '23.400 Ω']
    """
    text = text.strip()
    if kind not in KINDS:
        raise _refused(text, kind)
    if text.casefold() in _OPEN:
        return _open(text, kind)
    if _CODE.fullmatch(text) and (code := take_apart(text, kind)):
        return f"{code.number} {code.spelling.usual}"
    parts = _take_apart(text)
    if parts is None or (not text.isdigit() and marked(text, kind)):
        raise _refused(text, kind)
    if not parts.unit and not parts.prefix and KINDS[kind].unit in NEVER_WHOLE:
        raise _refused(text, kind)
    if not parts.unit and not _is_whole(parts, kind):
        example = f'"{parts.digits}{KINDS[kind].unit}"'
        raise QuantityError(f"{quoted(text)} does not fit {kind}", f"write it like {example}")
    if Decimal(parts.digits) >= _OVERFLOW:
        return _open(text, kind)
    unit = parts.prefix + (parts.unit or UNITS[KINDS[kind].unit].symbol)
    written = f"{parts.sign}{parts.digits} {unit}"
    parse_quantity(written, kind)
    return written


def _open(text: str, kind: str) -> str:
    if kind not in OPEN_KINDS:
        raise QuantityError(
            f"{quoted(text)} is not {'an' if kind[0] in 'aeiou' else 'a'} {kind}",
            f"only {either(OPEN_KINDS)} can be open",
        )
    return OPEN


def _take_apart(text: str) -> _Parts | None:
    """Take a typed value apart; raises QuantityError for a comma that may mean two things, None where it is none."""
    found = _NUMBER.fullmatch(text) if len(text) <= LONGEST else None
    if found is None:
        return None
    sign, number, name = found.groups()
    if _AMBIGUOUS.fullmatch(number):
        dotted, joined = number.replace(",", "."), number.replace(",", "")
        raise QuantityError(
            f"the comma in {quoted(text)} may be a decimal point or a thousands separator",
            f'write "{sign}{dotted}" or "{sign}{joined}"',
        )
    unit = _unit(name)
    return unit and _Parts(MINUS if sign in {"-", MINUS} else "", _digits(number), *unit)


def _unit(name: str) -> tuple[str, str] | None:
    """Read what follows the number: prefix and base unit, either of them "" where it is not told."""
    if not name:
        return "", ""
    if name in SPELLINGS and not SPELLINGS[name].scale:
        unit = SPELLINGS[name].unit
        return SPELLINGS[name].usual.removesuffix(unit), unit
    if name in SPELLINGS:  # another temperature scale: kept as it is written
        return "", SPELLINGS[name].usual
    if name in _PREFIX_LETTERS:
        return _PREFIX_LETTERS[name], ""
    for letter, prefix in _PREFIX_LETTERS.items():
        known = _BY_ANY_CASE.get(name.removeprefix(letter).casefold())
        if known and name.startswith(letter) and prefix in UNITS[known].prefixes:
            return prefix, known
    return None


def _digits(number: str) -> str:
    """Write a number plainly: a point with digits on both sides, no exponent; digits that were sent are kept."""
    number = number.replace(",", ".").replace(MINUS, "-")
    if "e" in number.casefold():
        return f"{Decimal(number):f}"
    whole, _, rest = number.partition(".")
    return f"{whole or '0'}.{rest}" if rest else whole


def _is_whole(parts: _Parts, kind: str) -> bool:
    """Tell whether the unit of the kind goes with the prefix."""
    return parts.prefix in UNITS[KINDS[kind].unit].prefixes


def _refused(text: str, kind: str) -> QuantityError:
    """Let the grammar of the files say what is wrong."""
    try:
        parse_quantity(text, kind)
    except QuantityError as misuse:
        return misuse
    return QuantityError(
        f"{quoted(text)} is not a reading of {kind}", "write a number, with its unit if you like"
    )
