"""Where everything of a TOML text is: a small scanner that says what the parser does not.

The scanner judges nothing. On text that the parser accepts, every path of the document gets its span; on any
other text it notes what it can find, takes up again on the line where it was lost, and never raises. No line
is looked at more than twice, so the time grows with the length of the text alone.
"""

import re
from typing import Literal

import rtoml

from jobkit.named_tuple import NamedTuple

KeyPath = tuple[str | int, ...]
Form = Literal["value", "header", "dotted"]

# The parser goes no deeper than 80; beyond that there is nothing to point at.
_DEEPEST = 100

_EMPTY_LINE = re.compile(r"[ \t]*(?:#[^\n]*)?(?:\r?\n|\Z)")
_BRACKETS = re.compile(r"[ \t]*(\[\[?)")
_KEY = re.compile(
    r"""[ \t]*(?:(?P<bare>[A-Za-z0-9_-]+)|(?P<quoted>"(?:[^"\\\n]+|\\[^\n])*+"|'[^'\n]*'))"""
    r"""[ \t]*(?P<dot>\.)?"""
)
_EQUALS = re.compile(r"=[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*+")
TEXT = re.compile(
    r'''"""(?:[^"\\]+|\\.|"{1,2}(?!"))*+"{3,5}|"(?!"")(?:[^"\\\n]+|\\[^\n])*+"'''
    r"""|'''(?:[^']+|'{1,2}(?!'))*+'{3,5}|'(?!'')[^'\n]*'""",
    re.DOTALL,
)
"""A text between quotes of any of the four sorts."""
_PLAIN_LINE = re.compile(
    r"""[ \t]*([A-Za-z0-9_-]+)[ \t]*=[ \t]*("(?!"")[^"\\\n]*"|[^\s,#\[\]{}"']+)[ \t]*(?:#[^\n]*)?\r?(?:\n|\Z)"""
)
"""One key and one value without escapes, as most lines are: seen at one glance."""
_BARE_VALUE = re.compile(r"""[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9][0-9:.Zz+-]*|[^\s,#\[\]{}"']+""")


class Span(NamedTuple):
    """Offsets of a key and of its value, ends exclusive; `form` is how the path comes to be.

    "value": written as `key = value`, or an element of a list in brackets. "header": a `[table]`, a
    `[[table]]` and each of its entries; the value is then the header. "dotted": the front of a dotted key.
    """

    key_start: int
    key_end: int
    start: int
    end: int
    form: Form


class Statement(NamedTuple):
    """One `key = value`: its whole path and the offsets of its whole lines, with remark and line end."""

    path: KeyPath
    start: int
    end: int


class Section(NamedTuple):
    """A header, whole lines of it, and the statements beneath; the first section has no header."""

    path: KeyPath
    start: int
    head_end: int
    statements: list[Statement]

    @property
    def end(self) -> int:
        """The offset after the last statement's last line."""
        return self.statements[-1].end if self.statements else self.head_end


class Outline(NamedTuple):
    """All spans by path, the sections in order, and where the scanner was first lost, if it was."""

    spans: dict[KeyPath, Span]
    sections: list[Section]
    lost: int | None


def outline(text: str) -> Outline:
    """Scan a TOML text; total: never raises, whatever the text."""
    scan = _Scan(text)
    return Outline(scan.spans, scan.sections, scan.lost)


class _LostError(Exception):
    """The scanner cannot make sense of the text at this offset."""

    def __init__(self, at: int) -> None:
        super().__init__(at)
        self.at = at


class _Scan:
    def __init__(self, text: str) -> None:
        self.text = text
        self.spans: dict[KeyPath, Span] = {}
        self.lost: int | None = None
        self.entries: dict[KeyPath, int] = {}  # how many [[entries]] a table has so far
        start = 1 if text.startswith("\ufeff") else 0
        self.sections = [Section((), start, start, [])]
        while start < len(text):
            start = self._line(self._plain_lines(start))

    def _plain_lines(self, start: int) -> int:
        """Take in the plain lines from here on: most lines of most files, so in one loop."""
        section, spans = self.sections[-1], self.spans
        base, append, match = section.path, section.statements.append, _PLAIN_LINE.match
        while line := match(self.text, start):
            path = (*base, line[1])
            spans[path] = Span(*line.span(1), *line.span(2), "value")
            end = line.end()
            append(Statement(path, start, end))
            start = end
        return start

    def _line(self, start: int) -> int:
        empty = _EMPTY_LINE.match(self.text, start)
        if empty:
            return empty.end()
        try:
            brackets = _BRACKETS.match(self.text, start)
            return self._header(start, brackets) if brackets else self._statement(start)
        except _LostError as lost:
            self.lost = lost.at if self.lost is None else self.lost
            return self._resume(start, lost.at)

    def _resume(self, start: int, lost: int) -> int:
        """Where to go on: the line on which the scanner was lost, or the next if that is where it began."""
        line = self.text.rfind("\n", 0, lost) + 1
        if line > start:
            return line
        next_line = self.text.find("\n", start) + 1
        return next_line or len(self.text)

    def _line_end(self, at: int) -> int:
        rest = _EMPTY_LINE.match(self.text, at)
        if not rest:
            raise _LostError(at)
        return rest.end()

    def _header(self, start: int, brackets: re.Match[str]) -> int:
        opener = brackets[1]
        keys, at = self._keys(brackets.end())
        path = self._header_path(keys, brackets.start(1), at)
        if opener == "[[":
            path = self._entry(path, brackets.start(1), at)
        section = Section(path, start, at, [])
        self.sections.append(section)
        if not self.text.startswith("]" * len(opener), at):
            raise _LostError(at)
        end = self._line_end(at + len(opener))
        self.sections[-1] = section._replace(head_end=end)
        return end

    def _header_path(self, keys: list[tuple[str, int, int]], start: int, end: int) -> KeyPath:
        path: KeyPath = ()
        for name, key_start, key_end in keys[:-1]:
            path = (*path, name)
            self.spans.setdefault(path, Span(key_start, key_end, start, end, "header"))
            if path in self.entries:
                path = (*path, self.entries[path] - 1)
        name, key_start, key_end = keys[-1]
        path = (*path, name)
        # A list of tables stands at its first header; a table at its own, not where a sub-table implied it.
        if path not in self.entries:
            self.spans[path] = Span(key_start, key_end, start, end, "header")
        return path

    def _entry(self, path: KeyPath, start: int, end: int) -> KeyPath:
        count = self.entries.get(path, 0)
        self.entries[path] = count + 1
        path = (*path, count)
        self.spans[path] = Span(start, start, start, end, "header")
        return path

    def _statement(self, start: int) -> int:
        section = self.sections[-1]
        path, end = self._pair(section.path, start, 0)
        end = self._line_end(end)
        section.statements.append(Statement(path, start, end))
        return end

    def _pair(self, base: KeyPath, at: int, depth: int) -> tuple[KeyPath, int]:
        keys, at = self._keys(at)
        for name, key_start, key_end in keys[:-1]:
            base = (*base, name)
            self.spans.setdefault(base, Span(key_start, key_end, key_start, key_end, "dotted"))
        name, key_start, key_end = keys[-1]
        path = (*base, name)
        self.spans[path] = Span(key_start, key_end, key_end, key_end, "value")
        equals = _EQUALS.match(self.text, at)
        if not equals:
            raise _LostError(at)
        end = self._value(path, equals.end(), depth)
        self.spans[path] = Span(key_start, key_end, equals.end(), end, "value")
        return path, end

    def _keys(self, at: int) -> tuple[list[tuple[str, int, int]], int]:
        """Read a dotted key: each part with its offsets, and where the key ends."""
        keys = []
        while True:
            key = _KEY.match(self.text, at)
            if not key:
                raise _LostError(at)
            part = "bare" if key["bare"] else "quoted"
            keys.append((_name(key[part]), key.start(part), key.end(part)))
            at = key.end()
            if not key["dot"]:
                return keys, at
            if len(keys) > _DEEPEST:
                raise _LostError(at)

    def _value(self, path: KeyPath, at: int, depth: int) -> int:
        opener = self.text[at : at + 1]
        if depth > _DEEPEST:
            raise _LostError(at)
        if opener == "[":
            return self._list(path, at, depth + 1)
        if opener == "{":
            return self._braces(path, at, depth + 1)
        value = (TEXT if opener in ('"', "'") else _BARE_VALUE).match(self.text, at)
        if not value:
            raise _LostError(at)
        return value.end()

    def _list(self, path: KeyPath, at: int, depth: int) -> int:
        at = self._skip(at + 1)
        index = 0
        while not self.text.startswith("]", at):
            element = (*path, index)
            self.spans[element] = Span(at, at, at, at, "value")
            end = self._value(element, at, depth)
            self.spans[element] = Span(at, at, at, end, "value")
            at = self._after_comma(end, "]")
            index += 1
        return at + 1

    def _braces(self, path: KeyPath, at: int, depth: int) -> int:
        at = self._skip(at + 1)
        while not self.text.startswith("}", at):
            _, end = self._pair(path, at, depth)
            at = self._after_comma(end, "}")
        return at + 1

    def _after_comma(self, at: int, closer: str) -> int:
        at = self._skip(at)
        if self.text.startswith(",", at):
            return self._skip(at + 1)
        if not self.text.startswith(closer, at):
            raise _LostError(at)
        return at

    def _skip(self, at: int) -> int:
        gap = _GAP.match(self.text, at)
        return gap.end() if gap else at


def _name(written: str) -> str:
    """Return what a key as it is written means: quotes and escapes resolved."""
    if written[0] not in "\"'":
        return written
    if "\\" not in written:
        return written[1:-1]
    try:
        name: str = rtoml.loads(f"key = {written}")["key"]
    except ValueError:
        return written[1:-1]
    return name
