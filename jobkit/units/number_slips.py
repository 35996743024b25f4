"""Slips in the number of a quantity, in its spaces, and in component codes."""

import re
from decimal import Decimal

from jobkit.units.exact import EXACT
from jobkit.units.grammar import LONGEST, NUMBER, take_apart
from jobkit.units.kinds import KINDS, LETTER_PREFIXES, SPELLINGS, UNITS, usual_units
from jobkit.units.part_marks import marked
from jobkit.units.slip import FindSlip, Slip, either, nearest, quoted
from jobkit.units.written import plain_digits, write_out

_OPEN = {"ol", "o.l", "o.l.", "0l", "0.l", "0.l.", ".0l", "open", "overload", "over"}
_NO_NUMBER = r"(?i)[+\-−]?(?:nan|inf(?:inity)?|∞)\b.*|[+\-−]?∞.*"
_MAYBE_THOUSANDS = r"[+\-−]?[1-9][0-9]{0,2},[0-9]{3}(?![0-9])"
_SPACED_THOUSANDS = r"[+\-−]?[0-9]{1,3}(?: [0-9]{3})+(?![0-9])"
_EXPONENT = rf"({NUMBER})(?:[eE]| ?[×x*] ?10\^)([+\-−]?[0-9]|[+\-−]?1[0-9])(?![0-9.]) ?(.*)"
_LIMIT = r"(?s)(?:[<>≤≥]=?|[=~≈±]|\+/-)\s*(.*)|.*(?:\.\.|±|\+/-).*"
_DASH = r"(?:[\u2010-\u2015]\s*|[-−]\s+)(?=[0-9.,])"
_TOLERANCE_LETTER = r"([0-9]*[RLKkMGFpnuµ\u03bcm][0-9]*) ?([FGJKM])"
_CODE_LIKE = r"([0-9]*)([A-Za-zΩ\u2126µ\u03bc])([0-9]*)"
_GLUED = rf"({NUMBER})(?![0-9.])(\S.*)"

NEVER_WHOLE = frozenset(("F", "H"))
"""Units that no part on a board has whole ones of: a number without a prefix cannot be meant."""

TOLERANCE_LETTERS = {"F": 1, "G": 2, "J": 5, "K": 10, "M": 20}
"""Tolerances in percent by their code letter: IEC 60062, letter code for symmetrical relative tolerances."""


def _unknown_kind(text: str, kind: str | None) -> Slip | None:
    del text
    if kind is None or kind in KINDS:
        return None
    near = nearest(kind, tuple(KINDS))
    return Slip(
        f"{quoted(kind)} is not a kind of reading",
        mend=f"the kinds are {either(tuple(KINDS))}" if near is None else f'use "{near}"',
    )


def _nothing(text: str, kind: str | None) -> Slip | None:
    del kind
    return None if text.strip() else Slip("the quantity is empty")


def _too_long(text: str, kind: str | None) -> Slip | None:
    del kind
    return Slip(f"{quoted(text)} is too long for a quantity") if len(text) > LONGEST else None


def _open_reading(text: str, kind: str | None) -> Slip | None:
    if text.strip().lower() not in _OPEN:
        return None
    if text == "OL" and kind is None:
        return Slip('"OL" needs a kind of reading', mend="add the kind of reading")
    return Slip(f"{quoted(text)} is not how an open reading is written", mend='write "OL"')


def _no_number(text: str, kind: str | None) -> Slip | None:
    del kind
    if not re.fullmatch(_NO_NUMBER, text):
        return None
    return Slip(
        f"{quoted(text)} is not a number", mend='write "OL" for an open reading, or leave the value out'
    )


def _comma(text: str, kind: str | None) -> Slip | None:
    del kind
    if "," not in text:
        return None
    joined, dotted = text.replace(",", ""), text.replace(",", ".")
    if text.rfind(".") > text.find(",") or text.count(",") > 1:
        return Slip(f"{quoted(text)} has a comma among its digits", (joined,))
    if "." in text:
        return Slip(f"{quoted(text)} has a decimal comma", (text.replace(".", "").replace(",", "."),))
    if re.match(_MAYBE_THOUSANDS, text):
        return Slip(
            f"the comma in {quoted(text)} may be a decimal point or a thousands separator", (dotted, joined)
        )
    return Slip(f"{quoted(text)} has a decimal comma", (dotted,))


def _exponent(text: str, kind: str | None) -> Slip | None:
    del kind
    found = re.fullmatch(_EXPONENT, text)
    if found is None:
        return None
    number, power, name = (part.replace("−", "-") for part in found.groups())
    value = Decimal(f"{number}e{power}")
    spelling = SPELLINGS.get(name)
    message = f"{quoted(text)} has an exponent"
    if spelling is None or spelling.scale:
        return Slip(message, (f"{plain_digits(value)} {name}".rstrip(),))
    return Slip(message, (write_out(EXACT.scaleb(value, spelling.exponent), spelling.unit),))


def _limit(text: str, kind: str | None) -> Slip | None:
    del kind
    found = re.fullmatch(_LIMIT, text)
    if found is None:
        return None
    return Slip(f"{quoted(text)} is a limit, not one value", (found[1],) if found[1] else ())


def _dash(text: str, kind: str | None) -> Slip | None:
    del kind
    found = re.match(_DASH, text)
    if found is None:
        return None
    return Slip(
        f"the minus of {quoted(text)} is a dash or is separated from its number", (f"-{text[found.end() :]}",)
    )


def _spaces(text: str, kind: str | None) -> Slip | None:
    del kind
    fixed = " ".join(text.split())
    if thousands := re.match(_SPACED_THOUSANDS, fixed):
        fixed = thousands[0].replace(" ", "") + fixed[thousands.end() :]
    return None if fixed == text else Slip(f"{quoted(text)} has one space too many", (fixed,))


def _point(text: str, kind: str | None) -> Slip | None:
    del kind
    fixed = re.sub(r"^([+\-−]?)\.(?=[0-9])", r"\g<1>0.", text)
    fixed = re.sub(r"^([+\-−]?[0-9]+)\.(?![0-9.])", r"\1", fixed)
    if fixed == text:
        return None
    return Slip(f"the point in {quoted(text)} needs a digit on both sides", (fixed,))


def part_mark(text: str, kind: str | None) -> Slip | None:
    """Look for a mark as printed on a part. A resistance is shown in such figures too; no meter shows whole farads."""
    if kind is None or kind not in KINDS or (value := marked(text, kind)) is None:
        return None
    if not text.isdigit():
        return Slip(f"{quoted(text)} is a mark on a part, not a value", (value,))
    if KINDS[kind].unit != "Ω":
        return Slip(
            f"{quoted(text)} has no unit", (value,), f'as the mark on a part it is {value}: write "{value}"'
        )
    shown = f"{text} {KINDS[kind].unit}"
    return Slip(
        f"{quoted(text)} has no unit",
        (shown, value),
        f'write "{shown}", or "{value}" if it is the mark on a part',
    )


def _tolerance_letter(text: str, kind: str | None) -> Slip | None:
    found = re.fullmatch(_TOLERANCE_LETTER, text)
    if found is None or take_apart(found[1], kind or "resistance") is None:
        return None
    letter = found[2]
    return Slip(
        f"{quoted(text)} ends in the tolerance letter {letter} ({TOLERANCE_LETTERS[letter]} %)", (found[1],)
    )


def _code(text: str, kind: str | None) -> Slip | None:
    """Find a code where none can be read: its unit is not told, or its letter is not a code letter of this kind."""
    found = re.fullmatch(_CODE_LIKE, text)
    if found is None or not (found[1] or found[3]) or (found[2] in SPELLINGS and not found[3]):
        return None
    before, letter, after = found.groups()
    number = f"{before or '0'}.{after}" if after else before
    meant = tuple(f"{number} {unit}" for unit in _code_units(letter, kind))
    if kind is None:
        return Slip(f"the code {quoted(text)} does not tell what it measures", meant) if meant else None
    if not meant and not after:
        return None
    units = f"give it in {either(usual_units(kind))}"
    return Slip(f"{quoted(text)} is not a component code for {kind}", meant, "" if meant else units)


def _code_units(letter: str, kind: str | None) -> tuple[str, ...]:
    """List the units that a letter in the place of the point may mean."""
    if letter != "K" and letter in SPELLINGS and (kind is None or SPELLINGS[letter].unit == KINDS[kind].unit):
        return (SPELLINGS[letter].usual,)
    if letter == "R" and kind == "inductance":
        return ("µH",)  # marking of coils, common practice, no source
    prefix = LETTER_PREFIXES.get(letter, "")
    if kind is None:
        return tuple(prefix + unit.symbol for unit in UNITS.values() if letter in unit.letters)
    meant = prefix + KINDS[kind].unit
    return (meant,) if prefix and meant in SPELLINGS else ()


def _glued(text: str, kind: str | None) -> Slip | None:
    del kind
    found = re.fullmatch(_GLUED, text)
    if found is None:
        return None
    return Slip(f"{quoted(text)} has no space between number and unit", (f"{found[1]} {found[2]}",))


def _bare(text: str, kind: str | None) -> Slip | None:
    if not re.fullmatch(NUMBER, text):
        return None
    if kind and KINDS[kind].unit in NEVER_WHOLE:
        return Slip(f"{quoted(text)} has no unit", mend=f'add the unit, such as "{text} µ{KINDS[kind].unit}"')
    return Slip(f"{quoted(text)} has no unit", (f"{text} {KINDS[kind].unit}",) if kind else ())


NUMBER_SLIPS: tuple[FindSlip, ...] = (
    _unknown_kind,
    _nothing,
    _too_long,
    _open_reading,
    _no_number,
    _comma,
    _exponent,
    _limit,
    _dash,
    _spaces,
    _point,
    _tolerance_letter,
    _code,
    _glued,
    _bare,
)
"""In the order in which they are looked for: each may take it that those before it are not there."""
