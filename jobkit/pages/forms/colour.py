"""Colour on a terminal: sparing, and never the only carrier of a meaning."""

from __future__ import annotations

import re

_STRONG, _RED, _YELLOW, _GREEN, _PLAIN = "\033[1m", "\033[31m", "\033[33m", "\033[32m", "\033[0m"
_HUES = {
    "out": _RED,
    "fail": _RED,
    "error": _RED,
    "near": _YELLOW,
    "warning": _YELLOW,
    "in": _GREEN,
    "pass": _GREEN,
}
_CELL = re.compile(rf"(?<=  )({'|'.join(_HUES)})(?=  |\s*$)", re.MULTILINE)


class Paint:
    """Colours text where `on`, else leaves it as it is."""

    def __init__(self, *, on: bool) -> None:
        self.on = on

    def strong(self, text: str) -> str:
        """Make a heading stand out."""
        return f"{_STRONG}{text}{_PLAIN}" if self.on else text

    def word(self, word: str) -> str:
        """Colour a verdict or a level."""
        return f"{_HUES[word]}{word}{_PLAIN}" if self.on and word in _HUES else word

    def words(self, table: str) -> str:
        """Colour the verdicts and levels that stand alone in a cell of a drawn table."""
        return _CELL.sub(lambda cell: self.word(cell[0]), table) if self.on else table
