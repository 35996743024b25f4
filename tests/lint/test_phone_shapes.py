"""Which figures are a phone number: each limit of length and form, on it and one beyond.

Lengths of international numbers are those of ITU-T E.164 (6.1: at most 15 digits); all other limits are jobkit's own.
All numbers are made up.
"""

from __future__ import annotations

import pytest

from jobkit.lint.rules.personal_data import numbered_lines, phones

PHONES = {
    "8 digits behind a plus": "+12345678",
    "15 digits behind a plus": "+123456789012345",
    "a plus, in three groups with points": "+12.345.678",
    "10 digits behind 00, in groups": "00 12345678",
    "17 digits behind 00, in groups": "00 123456789012345",
    "9 digits in brackets": "(0170) 12345",
    "12 digits in brackets": "(0170) 12345678",
    "two digits in brackets": "(01) 2345678",
    "five digits in brackets": "(01234) 56789",
    "a zero in brackets": "(0) 12345678",
    "9 digits in groups": "0123 45678",
    "12 digits in groups": "0123 45678901",
    "an area of two digits": "01 2345678",
    "a stroke between the groups": "0123/456789",
    "five pairs": "01 23 45 67 89",
    "five pairs with points": "01.23.45.67.89",
    "three groups of three digits": "012 345 678",
    "groups of three digits, not all with a zero": "012 034 567",
    "two groups of five digits": "01234 56789",
    "before the word for a thing": "0123 45678 for part 7",
    "a plus behind the word for a thing": "part +12345678",
    "7 digits behind a word about calling": "ring 555 0142",
    "15 digits behind a word about calling": "phone 123456789012345",
    "behind a colon without a figure before it": "a:0123 45678",
    "digits in pairs behind it that are not hexadecimal": "0123 45678 G7",
    "behind a word of letters alone": "Mara 0123 45678",
}
NOT_PHONES = {
    "7 digits behind a plus": "+1234567",
    "16 digits behind a plus": "+1234567890123456",
    "a country that begins with 0": "+012345678",
    "a decimal with a plus": "+1.2345678",
    "two points behind a plus": "+12..345678",
    "9 digits behind 00": "00 1234567",
    "18 digits behind 00": "00 1234567890123456",
    "three zeros": "000 12345678",
    "00 in one piece": "0012345678",
    "8 digits in brackets": "(0170) 1234",
    "13 digits in brackets": "(0170) 123456789",
    "one digit in brackets": "(1) 23456789",
    "six digits in brackets": "(012345) 67890",
    "four digits behind brackets": "(01234) 5678",
    "letters in brackets": "(ab) 12345678",
    "a chip size in brackets": "(0402) 12345678",
    "8 digits in groups": "0123 4567",
    "13 digits in groups": "0123 456789012",
    "in one piece": "0123456789",
    "a zero by itself": "0 12345678",
    "five pairs, parted in two ways": "01 23-45 67 89",
    "five groups, one of three digits": "0123 4 5 6 7",
    "a day and a number": "01.02.2026 12",
    "a chip size first": "0402 1234567",
    "hyphens": "0123-456789",
    "points": "0123.456789",
    "decimals": "01.23 45.678",
    "groups of four digits": "0123 4567 8901",
    "groups of three digits that begin with 0": "012 034 056",
    "groups of five digits that begin with 0": "01234 05678",
    "behind the word for a thing": "serial 0123 45678",
    "a letter before it": "x0123 45678",
    "a hyphen before it": "-0123 45678",
    "a letter behind a hyphen before it": "-x0123 45678",
    "a hyphen behind a letter before it": "a-0123 45678",
    "minutes of a time behind a letter": "a1:0123 45678",
    "a letter behind it, then a space": "0123 45678x 9",
    "a colon behind it, then a space": "0123 45678: 9",
    "a comma before it": "1,0123 45678",
    "minutes of a time": "1:0123 45678",
    "a letter behind it": "0123 45678x",
    "a colon behind it": "0123 45678:",
    "the end of a mixed code": "AB12 0123 45678",
    "pairs of hexadecimal figures behind it": "0123 45678 A7",
    "6 digits behind a word about calling": "ring 55 0142",
    "16 digits behind a word about calling": "phone 1234567890123456",
    "a day behind a word about calling": "call 2026-10-05",
    "7 digits behind no such word": "about 555 0142",
}


@pytest.mark.parametrize("line", PHONES.values(), ids=PHONES)
def test_a_phone_number(line: str) -> None:
    at = line.index(next(figure for figure in line if figure in "+(0123456789"))
    assert list(phones(line)) == [at]
    assert list(phones(f"{line}.")) == [at]


@pytest.mark.parametrize("line", NOT_PHONES.values(), ids=NOT_PHONES)
def test_not_a_phone_number(line: str) -> None:
    assert list(phones(line)) == []


LINES = {
    "7 figures": ("a 012 3456", [(0, "a 012 3456")]),
    "6 figures": ("a 012 345", []),
    "the second of three lines": ("a\n0123 456\nb", [(2, "0123 456")]),
    "two numbers in one line": ("0123 456 or 0123 457\n", [(0, "0123 456 or 0123 457")]),
    "an empty line first": ("\n0123 456", [(1, "0123 456")]),
    "two lines": ("0123 456\n0123 457", [(0, "0123 456"), (9, "0123 457")]),
    "a day": ("seen on 2026-10-05", []),
    "a day and a number": ("2026-10-05 0123 456", [(0, "2026-10-05 0123 456")]),
    "a day that is a value": ("on = 2026-10-05\n", []),
}


@pytest.mark.parametrize(("text", "expected"), LINES.values(), ids=LINES)
def test_lines_that_are_looked_at_closely(text: str, expected: list[tuple[int, str]]) -> None:
    assert list(numbered_lines(text)) == expected
