"""Limits that readings are checked against.

    limit = "OL" | cmp qty | low ".." qty | qty pm tol
          | qty "+" unum tu "/" minus unum tu | qty minus unum tu "/" "+" unum tu
    low   = num [unit] | code             a bare low takes the other end's whole unit, prefix included
    qty   = num unit | code               pm = "±" | "+/-"        tol = unum tu     tu = "%" | unit
    minus = "-" | "−"                     cmp = ">=" | "≥" | "<=" | "≤"
    num   = ["+" | minus] unum            unum = digits ["." digits]

Between a number and its unit stands one space; before "%" and around the signs spaces are free. Both ends
belong to the limit. A percentage is of the value's size, so that the lower end is the lower one for a
negative value too.
"""

import re
from decimal import Decimal
from functools import lru_cache

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.exact import ROOT
from jobkit.units.grammar import LONGEST
from jobkit.units.kinds import KINDS, SPELLINGS, kinds_of
from jobkit.units.limit_forms import FORMS, Form
from jobkit.units.limit_slips import limit_slips
from jobkit.units.quantity import OPEN, OtherKindError, Quantity, QuantityError, parse_quantity, plain
from jobkit.units.refusals import why_no_quantity, write
from jobkit.units.slip import Slip, either, quoted
from jobkit.units.temperature import celsius

_BETWEEN_WORDS = r"[\s/±+\-−.<>=≤≥]+"


class LimitError(MisuseError):
    """A text is not a limit; `meant` are the limits that may have been meant."""

    def __init__(self, message: str, mend: str = "", meant: tuple[str, ...] = ()) -> None:
        super().__init__(message, mend)
        self.meant = meant


class LimitMismatchError(LimitError):
    """A text is a limit in the unit of another kind than is measured here."""


class Limit(NamedTuple):
    """A limit: its ends in the base unit, both of them allowed; `open` where the reading should be open.

    `unit` is the base unit; it is empty only for an open limit of which no kind was told, which suits every
    kind.
    """

    low: Quantity | None
    high: Quantity | None
    open: bool
    text: str
    unit: str

    @property
    def empty(self) -> bool:
        """Tell whether no value at all is within.

        >>> parse_limit("60 Ω .. 10 Ω").empty
        True
        """
        return self.low is not None and self.high is not None and self.low.value > self.high.value


def parse_limit(text: str, kind: str | None = None) -> Limit:
    """Read a limit for a kind, or for the kind that its units tell; raises LimitError.

    >>> limit = parse_limit("12 V +/- 5 %")
    >>> limit.low.value, limit.high.value
    (Decimal('11.40'), Decimal('12.60'))
    >>> parse_limit("10 .. 60 kohm").low.value
    Decimal('1.0E+4')
    """
    if kind is not None and kind not in KINDS:
        refusal = why_no_quantity(text, kind)
        raise LimitError(refusal.message, refusal.mend)
    try:
        limit = _read(text, kind)
    except QuantityError as misuse:
        raise _part_refused(text, kind, misuse) from misuse
    if limit is None:
        raise _not_a_limit(text, kind)
    return limit


def usual_limit_spelling(text: str, kind: str | None = None) -> str:
    """Write a limit the usual way, numbers untouched, meaning the same; raises LimitError.

    >>> usual_limit_spelling("12 V +/- 5%"), usual_limit_spelling("≥200 ohm"), usual_limit_spelling("10..60 ohm")
    ('12 V ± 5 %', '>= 200 Ω', '10 .. 60 Ω')
    """
    if parse_limit(text, kind).open:
        return OPEN
    split = _split(text)
    assert split is not None, text
    form, parts = split
    return form.usual(parts, kind or _kind_told(text))


def as_rise(limit: Limit) -> Limit:
    """Read the ends of a temperature limit as differences, for a rise over another temperature.

    On the Celsius scale nothing changes; 70 K is −203.15 °C as a temperature, and 70 °C as a rise.

    >>> as_rise(parse_limit("<= 70 K")).high.text
    '70 °C'
    """
    scales = {SPELLINGS[word].scale for word in re.split(_BETWEEN_WORDS, limit.text) if word in SPELLINGS}
    zero = celsius(Decimal(0), next(iter(sorted(scales)), "") or "°C")
    # On the scale of Fahrenheit both are rounded to 28 digits: rounded again, 18 °F are 10 °C and not a bit more.
    low, high = (end and plain(ROOT.subtract(end.value, zero), end.unit) for end in (limit.low, limit.high))
    return limit._replace(low=low, high=high)


@lru_cache(maxsize=8192)
def _read(text: str, kind: str | None) -> Limit | None:
    """Read a limit; None for a text of no form, QuantityError for one whose parts cannot be read."""
    if text == OPEN:
        return Limit(None, None, open=True, text=text, unit=parse_quantity(text, kind).unit if kind else "")
    split = _split(text)
    if split is None:
        return None
    form, parts = split
    low, high = form.ends(parts, kind or _kind_told(text))
    end = low or high
    assert end is not None, text
    return Limit(low, high, open=False, text=text, unit=end.unit)


def _split(text: str) -> tuple[Form, tuple[str, ...]] | None:
    for form in FORMS if len(text) <= LONGEST else ():
        found = re.fullmatch(form.pattern, text)
        if found is not None:
            return form, found.groups()
    return None


def _kind_told(text: str) -> str | None:
    """Give the kind of the first unit in the text: a code at one end takes its unit from the other."""
    for word in re.split(_BETWEEN_WORDS, text):
        if word in SPELLINGS:
            return kinds_of(SPELLINGS[word].unit)[0]
    return None


def _not_a_limit(text: str, kind: str | None) -> LimitError:
    """Word the refusal of a text whose shape is that of no limit."""
    slips = tuple(limit_slips(text, kind)) or (Slip(f"{quoted(text)} is not a limit"),)
    for slip in slips:
        if meant := _sound(slip.meant, kind):
            return LimitError(slip.message, write(meant), meant)
    return LimitError(slips[0].message, f"write it like {either(_examples(kind))}")


def _part_refused(text: str, kind: str | None, misuse: QuantityError) -> LimitError:
    """Say which limit a part that cannot be read is in, unless the shape explains the fault better."""
    for slip in limit_slips(text, kind):
        if meant := _sound(slip.meant, kind):
            return LimitError(slip.message, write(meant), meant)
    mismatch = isinstance(misuse, OtherKindError) and kind is not None
    meant = _sound(_with_part_mended(text, misuse), kind)
    message = f"in the limit {quoted(text)}: {misuse.message}"
    return (LimitMismatchError if mismatch else LimitError)(
        message, write(meant) if meant else misuse.mend, meant
    )


def _sound(texts: tuple[str, ...], kind: str | None) -> tuple[str, ...]:
    """Choose the texts that are limits; where none is, mend the parts of the first as far as that leads."""
    sound = tuple(text for text in texts if _trouble(text, kind) is None)
    if sound or not texts:
        return sound
    trouble = _trouble(texts[0], kind)
    return _sound(_with_part_mended(texts[0], trouble), kind) if trouble else ()


def _with_part_mended(text: str, misuse: QuantityError) -> tuple[str, ...]:
    """Put each offer in the place of its part: ".5 V" is not the end of "10.5 V", nor "5 Ohm" the start of "5 Ohms"."""
    part = re.search(rf"(?<![0-9])(?<![0-9]\.){re.escape(misuse.text)}(?!\w)", text)
    if part is None:
        return ()
    return tuple(f"{text[: part.start()]}{offer}{text[part.end() :]}" for offer in misuse.meant)


def _trouble(text: str, kind: str | None) -> QuantityError | None:
    """Tell what is wrong with a text as a limit, if anything."""
    try:
        return None if _read(text, kind) else QuantityError(f"{quoted(text)} is not a limit")
    except QuantityError as misuse:
        return misuse


def _examples(kind: str | None) -> tuple[str, ...]:
    unit = KINDS[kind].unit if kind is not None else "Ω"
    tolerance = "5 °C" if unit == "°C" else "5 %"
    return (f'">= 10 {unit}"', f'"<= 60 {unit}"', f'"10 .. 60 {unit}"', f'"35 {unit} ± {tolerance}"', '"OL"')
