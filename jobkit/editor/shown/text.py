"""A text as an editor counts it: lines from 0, columns in UTF-16 units.

Source: Language Server Protocol 3.17, "Position": the encoding that every client and server must know.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property

from lsprotocol.types import Position, Range

from jobkit.book.toml.outline import KeyPath, Outline, Section, Span, outline
from jobkit.book.toml.parse import BOM, TomlError, parse

_LINE_END = re.compile(r"\r\n?|\n")


class Text:
    """A text, its outline, and its offsets as positions of an editor."""

    def __init__(self, text: str) -> None:
        """Index nothing yet."""
        self.text = text

    @cached_property
    def outline(self) -> Outline:
        """Where every key and value is; of half-typed text, as far as it can be told."""
        return outline(self.text)

    @cached_property
    def _starts(self) -> list[int]:
        """Where the lines of an editor begin: a carriage return alone ends one too."""
        if "\r" not in self.text.replace("\r\n", ""):
            return self._rows
        return [0, *(end.end() for end in _LINE_END.finditer(self.text))]

    @cached_property
    def _rows(self) -> list[int]:
        """Where the lines of lint begin: behind line feeds."""
        starts = [0]
        at = self.text.find("\n") + 1
        while at:
            starts.append(at)
            at = self.text.find("\n", at) + 1
        return starts

    def position(self, offset: int) -> Position:
        """Return an offset as an editor counts it."""
        line = bisect_right(self._starts, offset) - 1
        return Position(line, _units(self.text[self._starts[line] : offset]))

    def offset(self, position: Position) -> int:
        """Return the offset of a position; one beyond its line is its end, one beyond the text that of the text."""
        if position.line >= len(self._starts):
            return len(self.text)
        start = self._starts[position.line]
        following = self._starts[position.line + 1 : position.line + 2]
        line = self.text[start : following[0] if following else None].rstrip("\r\n")
        if line.isascii():
            return start + min(position.character, len(line))
        units = 0
        for at, letter in enumerate(line):
            units += 1 + (letter > "\uffff")
            if units > position.character:
                return start + at
        return start + len(line)

    def line_end(self, offset: int) -> int:
        """Return where the line of an offset ends, its line end not counted."""
        end = self.text.find("\n", offset)
        if end < 0:
            return len(self.text)
        return end - 1 if end > offset and self.text[end - 1] == "\r" else end

    def line_start(self, offset: int) -> int:
        """Return where the line of an offset begins."""
        return self.text.rfind("\n", 0, offset) + 1

    def range(self, start: int, end: int) -> Range:
        """Return a stretch of the text as an editor counts it."""
        return Range(self.position(start), self.position(end))

    def found_at(self, line: int, column: int) -> int:
        """Return the offset of a place that a finding names: line and column from 1, in characters."""
        if line - 1 >= len(self._rows):
            return len(self.text)
        marked = line == 1 and self.text.startswith(BOM)
        return min(self._rows[max(0, line - 1)] + column - 1 + marked, len(self.text))

    def section_at(self, offset: int) -> Section:
        """Return the section that an offset is in: its header is the last before it."""
        return [one for one in self.outline.sections if one.start <= offset or not one.path][-1]

    def value(self, span: Span) -> object:
        """Return what a value that is written in the text means; None where it cannot be read."""
        try:
            return parse(f"value = {self.text[span.start : span.end]}".encode("utf-8", "surrogatepass"))[
                "value"
            ]
        except TomlError:
            return None

    def path_at(self, offset: int) -> tuple[KeyPath, Span, bool] | None:
        """Return the innermost value or key at an offset, and whether the offset is on the value; None for neither."""
        best: tuple[int, KeyPath, Span, bool] | None = None
        for path, span in self.outline.spans.items():
            for start, end, on_value in ((span.start, span.end, True), (span.key_start, span.key_end, False)):
                if start <= offset <= end and start < end and (best is None or end - start < best[0]):
                    best = end - start, path, span, on_value
        return best and best[1:]


def _units(text: str) -> int:
    return len(text) if text.isascii() else len(text.encode("utf-16-le", "surrogatepass")) // 2
