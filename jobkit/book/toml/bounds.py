"""What TOML leaves open, and the parser with it: how deep tables go, how large numbers are, which times there are.

A file that oversteps these bounds would break something behind the parser, or the parser itself: it is refused with
the place and the way to mend, like any other that cannot be read.
"""

import re
from typing import Any

from jobkit.book.toml.outline import TEXT, outline

DEEPEST = 80
"""So many tables and lists may stand inside one another."""
_LARGEST = 1 << 127
"""TOML asks for 64 bits; a number that is far larger is a slip, and one of thousands of digits cannot be shown."""

_MANY_BRACKETS = 250
"""The parser copes with as many levels, even on a stack of 1 MB; with 8 MB it falls over at some 5000."""
_UNCLOSED = r"""(?:\"{3}|'{3}).*|["'][^\n]*"""
"""A text that does not end is passed over once: the parser goes no further either."""
_BRACKET = re.compile(rf"{TEXT.pattern}|{_UNCLOSED}|#[^\n]*|(?P<open>[\[{{])|(?P<close>[\]}}])", re.DOTALL)
_NUMBER = re.compile(r"[+-]?[0-9][0-9A-Fa-f_xob]{30,}")
_NO_TIME = re.compile(r"[0-9][0-9 Tt:-]*:60(?:[.Zz+-].*)?|0000-.*")
DEEP, LARGE = "recursion limit", "integer number overflowed"
"""The messages about it, in the parser's manner."""


class OutOfBoundsError(ValueError):
    """A document oversteps a bound: `DEEP` or `LARGE`."""


def hold(node: Any, room: int = DEEPEST) -> None:
    """Raise OutOfBoundsError where a document goes deeper than `room`, or holds too large a number."""
    if not room:
        raise OutOfBoundsError(DEEP)
    for value in node.values() if type(node) is dict else node:
        kind = type(value)
        if kind is dict or kind is list:
            hold(value, room - 1)
        elif kind is int:
            hold_number(value)


def hold_number(number: int) -> None:
    """Raise OutOfBoundsError where a number is too large."""
    if not -_LARGEST <= number < _LARGEST:
        raise OutOfBoundsError(LARGE)


def hold_text(text: str) -> None:
    """Raise OutOfBoundsError where a text goes too deep for the parser to be asked at all."""
    if text.count("[") + text.count("{") > _MANY_BRACKETS and _too_deep(text) is not None:
        raise OutOfBoundsError(DEEP)


def overstepped(text: str, message: str) -> int:
    """Return at which offset of the text a bound is overstepped, 0 where that cannot be told.

    The message is that of an OutOfBoundsError; or the parser's about a day of the year 0 or a 60th second, which are
    right by the grammar of TOML.
    """
    if message == DEEP:
        return _too_deep(text) or _first_deep(text)
    wanted = _is_large if message == LARGE else _NO_TIME.fullmatch
    spans = (span for span in outline(text).spans.values() if span.form == "value")
    return next((one.start for one in spans if wanted(text[one.start : one.end])), 0)


def _is_large(value: str) -> bool:
    if not _NUMBER.fullmatch(value):
        return False
    try:
        hold_number(int(value, 0))
    except ValueError:
        return True  # too large, or of so many digits that it cannot be told
    return False


def _first_deep(text: str) -> int:
    """Return where the first key stands that lies too deep by the names before it, 0 where that cannot be told."""
    spans = outline(text).spans.items()
    return min((span.key_start for path, span in spans if len(path) >= DEEPEST), default=0)


def _too_deep(text: str) -> int | None:
    """Return where the first bracket or brace stands that is inside too many others."""
    depth = 0
    for found in _BRACKET.finditer(text):
        depth += (found.lastgroup == "open") - (found.lastgroup == "close")
        if depth >= DEEPEST:  # the file itself is the first level
            return found.start()
    return None
