"""Read around what is half typed: the lines that no parser takes become remarks, and the rest is served.

The remarks are as long as the lines, so that places in what was read are places in what you see. They are remarks and
not blanks, so that what is written behind the table of a half-typed line comes behind that line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import inf

from jobkit.book.toml.parse import TomlError, line_start, parse
from jobkit.named_tuple import NamedTuple

_ROUNDS = 6
"""So many slips are read around; a text with more of them is served from its outline alone."""
_STATEMENT = re.compile(r"^[ \t]*[\w.\"'-]+[ \t]*=", re.MULTILINE)
_HEADER = re.compile(r"^[ \t]*\[", re.MULTILINE)
_LINE = re.compile(r"(?:[^\r\n]|\r(?!\n))+")


class Readable(NamedTuple):
    """A text that the parser takes, what of it became remarks (offsets), and what is wrong with the whole.

    Where nothing helped, it is the text as it is.
    """

    text: str
    blanked: tuple[tuple[int, int], ...] = ()
    error: TomlError | None = None


def readable(text: str) -> Readable:
    """Make a remark of what stops the parser, so that the rest can be read; `error` is what it says of the whole."""
    first = error = _error(text)
    blanked: list[tuple[int, int]] = []
    left = text
    for _ in range(_ROUNDS):
        if error is None:
            return Readable(left, tuple(blanked), first)
        tried = [(_gap(left, *gap), gap) for gap in _gaps(left, error)]
        after = [(_error(candidate), candidate, gap) for candidate, gap in tried]
        error, left, gap = max(after, key=lambda one: one[0].line if one[0] else inf)
        blanked.append(gap)
    return Readable(left, tuple(blanked), first) if error is None else Readable(text, (), first)


def _error(text: str) -> TomlError | None:
    try:
        parse(text.encode("utf-8", "surrogatepass"))
    except TomlError as error:
        return error
    return None


def _gaps(text: str, error: TomlError) -> Iterator[tuple[int, int]]:
    """Yield what might be blanked, the likeliest first: the line, of a header its section; the statement before.

    The lines of a header that is half typed would fall to the table before.
    """
    start = line_start(text, error.line)
    end = _line_end(text, start)
    if _HEADER.match(text, start):
        following = _HEADER.search(text, end)
        yield start, following.start() if following else len(text)
    else:
        yield start, end
    for before in [one.start() for one in _STATEMENT.finditer(text, 0, start)][-1:]:
        yield before, start
        yield before, end


def _line_end(text: str, start: int) -> int:
    end = text.find("\n", start)
    return len(text) if end < 0 else end


def _gap(text: str, start: int, end: int) -> str:
    return text[:start] + _LINE.sub(_remark, text[start:end]) + text[end:]


def _remark(line: re.Match[str]) -> str:
    return f"#{' ' * (len(line[0]) - 1)}"
