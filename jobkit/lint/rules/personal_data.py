"""Tell mail addresses, phone numbers and bank accounts from the many other figures of a bench diary.

How often it is right is measured in tests/lint/test_personal_data.py, on lines written for the purpose.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from jobkit.named_tuple import NamedTuple

# A name begins where no letter of a name stands before: else a long word is gone through from each of its letters.
_MAIL = re.compile(r"(?<![\w.%+-])[\w.%+-]+@(?P<host>[\w-]+(?:\.[\w-]+)*\.(?P<top>[^\W\d_]{2,}))")
_NOBODY = frozenset(("local", "localdomain", "lan", "internal", "home"))
"""Names of machines in a workshop, not of mailboxes."""

_IBAN = re.compile(r"[A-Z]{2}[0-9]{2}(?: ?[A-Z0-9]{4}){2,7}(?: ?[A-Z0-9]{1,4})?(?![A-Za-z0-9])")
_LONGEST_IBAN = 34

_RUN = re.compile(r"[+(0][0-9 ()/.\-]*+")
"""Digits and what may part them in a phone number, beginning as one may: +, ( or 0; taken whole, so in one pass."""
_BETWEEN_DIGITS = " ()/.-"
_SHORTEST_RUN = 8

_CALLING = ("phone", "tel", "mobile", "messenger", "sms", "fax", "call", "ring", "rang", "rung", "dial")
_CALLED = re.compile(
    rf"\b(?:tele|cell ?)?(?:{'|'.join(_CALLING)})(?:ed|ing|led)?\b\.?"
    r"(?:\s+(?:him|her|them|me|us|back|at|on|under|is|no|nr|number|owner|the))*[\s.:=\"]*"
    r"(?P<number>[+(]?[0-9][0-9 ()/.\-]{5,}[0-9])(?![\w:])",
    re.IGNORECASE,
)

_DAY = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
    r"|(?:0?[1-9]|[12][0-9]|3[01])[./ -](?:0?[1-9]|1[0-2])[./ -](?:[0-9]{2}){1,2}(?![0-9])"
)
_CODE_BEFORE = re.compile(r"(?:[A-Za-z]+[0-9]|[0-9]+[A-Za-z])[A-Za-z0-9]* $")
"""The groups of a long code that mixes letters and digits: an account, a tracking number."""
_HEX_AFTER = re.compile(r" [0-9A-F]{2}\b")
_CHIP_SIZES = frozenset(
    ("0201", "0402", "0603", "0805", "01005", "1206", "1210", "1806", "1812", "2010", "2512")
)
"""Cases of chip resistors and capacitors in hundredths of an inch (usual in every catalogue; from memory)."""


_DECIMALS = re.compile(r"[0-9]+\.[0-9]+(?: [0-9]+\.[0-9]+)+")
_THING = re.compile(
    r"\b(?:p/?n|s/?n|serial|part|item|lot|batch|order|invoice|ref|tracking|parcel|marking|model|version|code)\b",
    re.IGNORECASE,
)
"""Words before the number of a thing, on the same line."""


_FIGURES = re.compile(
    rb"0(?=[0 ()/.\-]{6})(?:(?<![A-Z0/_#,-]0)|(?<=[A-Z]{2}0)|(?<=[A-Z]{2}00[A-Z]0)|(?<=[A-Z]{2}00 [A-Z]0))"
    rb"[0 ()/.\-]+"
)
"""Figures that may be a number, not the middle of a code; behind capitals only where those may be an account's.

Those are its country, the end of a bank's letters, or (Italy, San Marino) one letter behind the check digits.
"""
_AS_ZERO = bytes.maketrans(b"123456789", b"000000000")
_FEWEST = 7
"""Digits of the shortest phone number that is looked for; accounts have more in one piece."""


def numbered_lines(text: str) -> Iterator[tuple[int, str]]:
    """Find the few lines of a text that may hold a phone number or an account, each with its offset.

    Most figures of a job file are days and values. To look closely at what is left takes a tenth of the time that it
    takes to look closely at all.
    """
    end = -1
    for found in _FIGURES.finditer(_shapes(text)):
        run = found[0]
        if run[4:5] == b"-" == run[7:8]:
            run = run[10:]  # a day
        if run.count(b"0") >= _FEWEST and found.start() > end:
            start = text.rfind("\n", 0, found.start()) + 1
            end = text.find("\n", found.end())
            end = len(text) if end < 0 else end
            yield start, text[start:end]


def _shapes(text: str) -> bytes:
    """Write a byte for each letter, every digit as 0, and days and moments that are values crossed out."""
    letters = text.encode("latin-1", "replace").translate(_AS_ZERO)
    moments_out = letters.replace(b"= 0000-00-00T", b"= ----------T")
    return moments_out.replace(b"= 0000-00-00\n", b"= ----------\n")


def mails(text: str) -> Iterator[int]:
    """Find where mail addresses begin (a plain part of RFC 5322, 3.4.1; international ones too)."""
    if "@" in text:
        for found in _MAIL.finditer(text):
            if found["top"].casefold() not in _NOBODY:
                yield found.start()


def ibans(text: str) -> Iterator[int]:
    """Find where bank account numbers begin: ISO 13616, told from other codes by the check of ISO 7064, mod 97-10."""
    for found in _IBAN.finditer(text):
        plain = found[0].replace(" ", "")
        if len(plain) <= _LONGEST_IBAN and not text[found.start() - 1 : found.start()].isalnum():
            moved = plain[4:] + plain[:4]
            if int("".join(str(int(letter, 36)) for letter in moved)) % 97 == 1:
                yield found.start()


class _Run(NamedTuple):
    """Digits and what parts them, as they are in a line."""

    start: int
    number: str

    @property
    def end(self) -> int:
        return self.start + len(self.number)


def phones(line: str) -> Iterator[int]:
    """Find where phone numbers begin: with a country code, with a leading zero, or after a word about calling."""
    thing = _THING.search(line)
    things_from = thing.end() if thing else len(line)
    starts = {run.start for run in _runs(line) if _is_phone(line, run, of_a_thing=run.start >= things_from)}
    small = line.lower()
    if any(word in small for word in _CALLING):
        starts.update(
            found.start("number") for found in _CALLED.finditer(line) if _is_called(found["number"])
        )
    yield from sorted(starts)


def _runs(line: str) -> Iterator[_Run]:
    for found in _RUN.finditer(line):
        number = found[0].rstrip(_BETWEEN_DIGITS)
        if len(number) >= _SHORTEST_RUN:
            yield _Run(found.start(), number)


def _is_phone(line: str, run: _Run, *, of_a_thing: bool) -> bool:
    number = run.number
    digits = re.sub("[^0-9]", "", number)
    if not _stands_alone(line, run):
        return False
    if number[0] == "+":
        return _is_international(number, digits)
    if of_a_thing:
        return False
    if number.startswith("00"):
        return 10 <= len(digits) <= 17 and digits[2] != "0" and digits != number
    return _is_bracketed(number, digits) if number[0] == "(" else _is_trunk(number, digits)


def _stands_alone(line: str, run: _Run) -> bool:
    """Tell whether a run of digits is whole: no piece of a code, a date, a time or a file name."""
    before, after = line[max(0, run.start - 12) : run.start], line[run.end : run.end + 4]
    if before[-1:].isalnum() or before[-1:] in {"-", ".", "/", "_", "#", "+", ","}:
        return False
    if (before[-1:] == ":" and before[-2:-1].isdigit()) or after[:1].isalnum() or after[:1] == ":":
        return False
    return not (_CODE_BEFORE.search(before) or _HEX_AFTER.match(after))


def _is_international(number: str, digits: str) -> bool:
    """Tell a number with + and country code: at most 15 digits (ITU-T E.164, 6.1), and no plain decimal."""
    groups = re.findall("[0-9]+", number)
    is_decimal = len(groups) == 2 and number[1:] == ".".join(groups)
    return 8 <= len(digits) <= 15 and digits[0] != "0" and not is_decimal and ".." not in number


def _is_bracketed(number: str, digits: str) -> bool:
    """Tell a number whose area code, or only the zero before it, is in brackets."""
    area, _, rest = number[1:].partition(")")
    is_area = area == "0" or (area.isdigit() and 2 <= len(area) <= 5 and area not in _CHIP_SIZES)
    return is_area and 9 <= len(digits) <= 12 and len(rest.strip()) >= 5


def _is_trunk(number: str, digits: str) -> bool:
    """Tell a number with the leading zero of a national call: 9 to 12 digits in groups as people write them."""
    groups = re.findall("[0-9]+", number)
    parted = set(re.sub("[0-9]", "", number))
    if len(groups) == 5 and all(len(group) == 2 for group in groups):
        return len(parted) == 1
    if not 9 <= len(digits) <= 12 or len(groups[0]) < 2 or _DAY.match(number) or groups[0] in _CHIP_SIZES:
        return False
    if parted <= {"-"} or parted == {"."}:
        return False  # serial, part and version numbers look like that
    if _DECIMALS.fullmatch(number):
        return False
    # A row of like figures: numbers of three or four digits each, as in kits, tables and long codes.
    alike = len({len(group) for group in groups}) == 1
    return not (alike and (len(groups[0]) == 4 or all(group[0] == "0" for group in groups)))


def _is_called(number: str) -> bool:
    digits = re.sub("[^0-9]", "", number)
    return 7 <= len(digits) <= 15 and _DAY.match(number) is None
