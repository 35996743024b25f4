"""What is being typed at a place: a header, a key, or a value of a key, in which table; told from the text alone.

Half-typed text is the rule here, so this goes by lines, and not by what a parser makes of them.
"""

from __future__ import annotations

import re
from typing import Literal

from jobkit.editor.shown.text import Text
from jobkit.named_tuple import NamedTuple

_HEADER = re.compile(r"^[ \t]*\[+[ \t]*[\w.\" -]*$")
_VALUE = re.compile(r"^[ \t]*([\w-]+)[ \t]*=[ \t]*(.*)$", re.DOTALL)
_OPEN_LIST = re.compile(r"^[ \t]*([\w-]+)[ \t]*=[ \t]*\[(?!.*\])", re.DOTALL)
_KEY = re.compile(r"^[ \t]*[\w-]*$")
_BEGUN = re.compile(r"(?:[^#]*[,\[{=])?[ \t\r\n]*([\w.:-]*)")
"""A value without quotation marks that is begun: at first, or behind what separates values."""
_MOST_LINES = 40
"""A list whose bracket is further up is not looked for."""


class Typed(NamedTuple):
    """What is being typed: `start` and `end` are the offsets of what a completion replaces.

    `table` has the names of the table, `key` is that of a value. `quote` is the quotation mark that is open before
    `start` ("" for none), and `is_closed` tells whether it is closed after `end`.
    """

    what: Literal["header", "key", "value"]
    table: tuple[str, ...]
    start: int
    end: int
    key: str = ""
    quote: str = ""
    is_closed: bool = False


def typed_at(text: Text, offset: int) -> Typed | None:
    """Tell what is being typed at an offset; None in a remark, or where it cannot be told."""
    start = text.line_start(offset)
    before = text.text[start:offset]
    table = _table(text, offset)
    value = _VALUE.match(before)
    if value:
        return _value(text, offset, value[1], value[2], table)
    listed = _open_list(text, start)
    if listed:
        return _value(text, offset, listed, before, table)
    if _HEADER.match(before):
        bracket = before.rfind("[") + 1
        return Typed("header", table, start + bracket, _word_end(text, offset, r"[\w.-]*"))
    if _KEY.match(before):
        indent = len(before) - len(before.lstrip())
        return Typed("key", table, start + indent, _word_end(text, offset, r"[\w-]*"))
    return None


def _value(text: Text, offset: int, key: str, written: str, table: tuple[str, ...]) -> Typed | None:
    quote, inside = _open_quote(written)
    if quote:
        end = _word_end(text, offset, rf"[^{quote}\r\n]*")
        closed = text.text[end : end + 1] == quote
        if not closed:
            end = offset
        return Typed("value", table, offset - len(inside), end, key, quote, closed)
    word = _BEGUN.fullmatch(written)
    if word is None:
        return None  # a whole value is there already, or a remark
    return Typed("value", table, offset - len(word[1]), _word_end(text, offset, r"[\w.:-]*"), key)


def _open_quote(written: str) -> tuple[str, str]:
    """Return the quotation mark that is open at the end of what is written, and what is behind it."""
    quote, since = "", 0
    for at, letter in enumerate(written):
        if not quote and letter in "\"'":
            quote, since = letter, at + 1
        elif letter == quote:
            quote = ""
    return quote, written[since:] if quote else ""


def _open_list(text: Text, line_start: int) -> str | None:
    """Return the key of a list in brackets that began on a line before and is not closed yet."""
    start = line_start
    for _ in range(_MOST_LINES):
        if not start:
            return None
        start = text.line_start(start - 1)
        opened = _OPEN_LIST.match(text.text[start:line_start])
        if opened:
            return opened[1]
        line = text.text[start : text.line_end(start)].lstrip()
        if line.startswith("[") or _VALUE.match(line):
            return None
    return None


def _word_end(text: Text, offset: int, pattern: str) -> int:
    word = re.compile(pattern).match(text.text, offset)
    return word.end() if word else offset


def _table(text: Text, offset: int) -> tuple[str, ...]:
    """Return the names of the table that an offset is in."""
    section = [one for one in text.outline.sections if one.start <= offset][-1]
    return tuple(one for one in section.path if isinstance(one, str))
