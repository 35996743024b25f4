"""The one parser for all reading: bytes of a TOML file in, plain data or a plain sentence out.

All reading goes through one parser, because parsers differ (TOML 1.0 and 1.1) and mixing them changes answers.
A leading byte order mark is accepted: TOML 1.1 lets a parser ignore it, some editors write it, edits keep it.
"""

import re
from collections.abc import Callable
from typing import Any

import rtoml

from jobkit.book.toml.depth import (
    DEEPEST,
    TooDeepError,
    first_too_deep,
    refuse_depth,
    refuse_endless_keys,
)
from jobkit.book.toml.outline import outline
from jobkit.book.toml.refusal_words import explained
from jobkit.units.errors import MisuseError

BOM = "\ufeff"

_PLACE = re.compile(r" at line ([0-9]+) column ([0-9]+)\Z")
_NO_PLACE = "recursion limit"
"""What rtoml says of a key with too many names; not where it is."""
_OUTER_MARKER = re.compile(r"^(?:<{7}|>{7})(?: |\r?$)", re.MULTILINE)
_ANY_MARKER = re.compile(r"(?:<{7}|>{7}|={7}|\|{7})(?: |\r?$)", re.MULTILINE)
_CONFLICT_PARTS = tuple(re.compile(mark, re.MULTILINE) for mark in (r"^<{7} ", r"^={7}\r?$", r"^>{7} "))
"""The markers of a conflict, in their order."""
_UTF_16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_PLAIN = frozenset({str, int, float, bool})


class TomlError(MisuseError):
    """The file is not TOML; `line` and `column` (from 1, in characters) tell where.

    `what` is the message without its place, for findings, which carry the place beside it.
    """

    def __init__(self, what: str, mend: str, line: int, column: int) -> None:
        super().__init__(f"{what} (line {line}, column {column})", mend)
        self.what = what
        self.line = line
        self.column = column


def parse(data: bytes) -> dict[str, Any]:
    """Return what the bytes of a TOML file say; raise `TomlError` where they are no UTF-8 or no TOML.

    Dates and times are ISO 8601 text in it, as a schema knows no dates. An offset stays in the text, so that the schema
    can refuse it; `nan` and `inf` stay what they are.
    """
    return _parsed(decode(data), _plain)


def parse_text(text: str) -> dict[str, Any]:
    """Return what a TOML text says, dates as dates; raise `TomlError` where it is not TOML or a merge is unfinished."""
    return _parsed(text, refuse_depth)


def _parsed(text: str, settle: Callable[[dict[str, Any], int], None]) -> dict[str, Any]:
    # A conflict inside a multi-line string is good TOML, yet nobody meant it.
    if "\n<<<<<<< " in text and (conflict := _whole_conflict(text)) is not None:
        raise _unfinished_merge(text, conflict)
    try:
        refuse_endless_keys(text)
        doc = rtoml.loads(text)
        settle(doc, DEEPEST)
    except rtoml.TomlParsingError as error:
        raise _refused(text, str(error)) from None
    except TooDeepError:
        raise _too_deep(text) from None
    return doc


def _whole_conflict(text: str) -> int | None:
    """Return where a conflict begins of which all markers are there; each is looked for once, so it takes one pass."""
    begins, at = None, 0
    for marker in _CONFLICT_PARTS:
        found = marker.search(text, at)
        if found is None:
            return None
        begins, at = found.start() if begins is None else begins, found.end()
    return begins


def decode(data: bytes) -> str:
    """Return the bytes as text, a byte order mark included; raise `TomlError` where they are no UTF-8."""
    try:
        return data.decode()
    except UnicodeDecodeError as error:
        raise _wrong_encoding(data, error.start) from None


def _plain(node: Any, room: int) -> None:  # told apart but once: this is the hot path
    """Turn dates and times into text, in place; raise TooDeepError where the document goes deeper than `room`."""
    if not room:
        raise TooDeepError
    for key, value in node.items() if type(node) is dict else enumerate(node):
        kind = type(value)
        if kind is str or kind in _PLAIN:  # most are texts
            continue
        if kind is dict or kind is list:
            _plain(value, room - 1)
        else:
            node[key] = value.isoformat()


def _refused(text: str, message: str) -> TomlError:
    if message == _NO_PLACE:
        return _too_deep(text)
    if marker := _OUTER_MARKER.search(text):
        return _unfinished_merge(text, marker.start())
    if "\0" in text:
        return _empty_bytes(text)
    line, column, message = _split_place(text, message)
    start = line_start(text, line)
    if _ANY_MARKER.match(text, start):
        return _unfinished_merge(text, start)
    if (opener := _open_text(text, message, start)) is not None:
        return _endless(text, opener)
    what, mend = explained(message, text, start + column - 1)
    return TomlError(what, mend, *_place(text, start + column - 1))


def _open_text(text: str, message: str, start: int) -> int | None:
    """Return where a text opens that never ends, if that is what misled the parser by the line at `start`.

    The parser may name a later line, or the end of the file; the mistake is where the text begins.
    """
    lost = outline(text).lost
    if lost is None or text[lost : lost + 1] not in ('"', "'") or "opening quote" in message:
        return None
    return lost if text.rfind("\n", 0, lost) < start else None


def _endless(text: str, at: int) -> TomlError:
    quote = text[at] * (3 if text.startswith(text[at] * 3, at) else 1)
    end = "" if len(quote) == 3 else " on its line"
    return TomlError(
        f"the text that begins here does not end{end}", f"close it with {quote}", *_place(text, at)
    )


def _place(text: str, at: int) -> tuple[int, int]:
    line_start = text.rfind("\n", 0, at) + 1
    marked = line_start == 0 and text.startswith(BOM)
    return text.count("\n", 0, at) + 1, max(1, at - line_start + 1 - marked)


def _too_deep(text: str) -> TomlError:
    at = first_too_deep(text)
    return TomlError(*explained(_NO_PLACE, text, at), *_place(text, at))


def _split_place(text: str, message: str) -> tuple[int, int, str]:
    place = _PLACE.search(message)
    if not place:
        return 1, 1 + text.startswith(BOM), message
    return int(place[1]), int(place[2]), message[: place.start()]


def line_start(text: str, line: int) -> int:
    """Return where a line begins, counted from 1 as a TomlError counts."""
    start = 0
    for _ in range(line - 1):
        start = text.find("\n", start) + 1
    return start


def _unfinished_merge(text: str, at: int) -> TomlError:
    return TomlError(
        "unfinished merge: the lines of both sides are still between git's markers",
        "keep the right lines of both sides and delete the lines that begin with <<<<<<<, ======= and >>>>>>>",
        *_place(text, at),
    )


def _empty_bytes(text: str) -> TomlError:
    at = text.index("\0")
    what, mend = "the file has empty bytes (NUL): it is damaged", "restore its last good state from git"
    if not text.strip("\0"):
        what = "the file has only empty bytes (NUL): a crash emptied it"
    elif text.count("\0") * 3 > len(text):  # every second byte of Latin letters in UTF-16
        what, mend = "the file is saved as UTF-16", "save it as UTF-8"
    return TomlError(what, mend, *_place(text, at))


def _wrong_encoding(data: bytes, at: int) -> TomlError:
    if data.startswith(_UTF_16_MARKS):
        return TomlError("the file is saved as UTF-16", "save it as UTF-8", 1, 1)
    line_start = data.rfind(b"\n", 0, at) + 1
    column = len(data[line_start:at].decode(errors="replace")) + 1
    letter = data[at : at + 1].decode("cp1252", errors="ignore")
    guess = f" (perhaps {letter} as older Windows programs write it)" if letter.strip() else ""
    what = f"byte 0x{data[at]:02X} is not UTF-8{guess}"
    return TomlError(what, "save the file as UTF-8", data.count(b"\n", 0, at) + 1, column)
