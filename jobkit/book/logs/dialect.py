"""How the cells of a log are separated, and which mark its decimals have."""

from __future__ import annotations

import re
from collections import Counter

from jobkit.named_tuple import NamedTuple

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
"""The separators that are guessed, with their names."""

_COMMA_DECIMAL = re.compile(r"[+\-−]?[0-9]+,[0-9]+")
_POINT_DECIMAL = re.compile(r"[+\-−]?[0-9]+\.[0-9]+")
_STATED = re.compile(r'"?sep=(.)"?', re.IGNORECASE)


class Dialect(NamedTuple):
    """The separator and the decimal mark of a log, and in words what of them was guessed."""

    separator: str
    decimal: str
    guesses: tuple[str, ...] = ()


def stated_separator(line: str) -> str | None:
    """Return the separator that a spreadsheet program states in a first line of its own.

    >>> stated_separator("sep=;")
    ';'
    """
    found = _STATED.fullmatch(line.strip(" "))
    return found[1] if found else None


def find_dialect(lines: list[str], separator: str | None, decimal: str | None) -> Dialect:
    """Return the dialect of a log from its header, if it has one, and first rows; what is stated is not guessed.

    >>> find_dialect(["time;t1", "0;25,3", "1;25,9"], None, None)
    Dialect(separator=';', decimal=',', guesses=('separator: semicolon', 'decimal mark: comma'))
    """
    guesses = []
    if separator is None:
        separator = _separator(lines)
        if separator != ",":
            guesses.append(f"separator: {SEPARATORS[separator]}")
    if decimal is None:
        decimal = _decimal(lines, separator)
        if decimal != ".":
            guesses.append("decimal mark: comma")
    return Dialect(separator, decimal, tuple(guesses))


def _separator(lines: list[str]) -> str:
    """Choose the separator that occurs in the first line and as often in most of the others; a comma if none does."""

    def agreement(mark: str) -> tuple[int, int]:
        counts = Counter(line.count(mark) for line in lines if line)
        in_first = lines[0].count(mark) if lines else 0
        return (counts[in_first] if in_first else 0), in_first

    return max(SEPARATORS, key=agreement)


def _decimal(lines: list[str], separator: str) -> str:
    """Choose the comma if cells such as `25,3` occur and none such as `25.3`."""
    # Where commas separate, only a cell between quotes can hold one.
    apart = re.compile(r'"([^"]*)"') if separator == "," else None
    cells = [
        cell.strip(' "')
        for line in lines
        for cell in (apart.findall(line) if apart else line.split(separator))
    ]
    with_comma = any(_COMMA_DECIMAL.fullmatch(cell) for cell in cells)
    with_point = any(_POINT_DECIMAL.fullmatch(cell) for cell in cells)
    return "," if with_comma and not with_point else "."
