"""Line and column of every path of a TOML text, for findings that point at the place to mend."""

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from jobkit.book.toml.outline import KeyPath, Outline, outline


class Position(NamedTuple):
    """A place in a text: line and column from 1, in characters; a byte order mark takes no room."""

    line: int
    column: int


class Positions(Mapping[KeyPath, Position]):
    """Where each path of a text stands: keys and list indices lead to the place of the key.

    An entry of a `[[table]]` stands at its brackets, an element of a list at its value.
    """

    def __init__(self, text: str, found: Outline) -> None:
        self._spans = found.spans
        self._lines = _line_starts(text)

    def __getitem__(self, path: KeyPath) -> Position:
        return self._at(self._spans[path].key_start)

    def __iter__(self) -> Iterator[KeyPath]:
        return iter(self._spans)

    def __len__(self) -> int:
        return len(self._spans)

    def value(self, path: KeyPath) -> Position:
        """Return the place of the value at `path`, of a table its header; raise `KeyError` without one."""
        return self._at(self._spans[path].start)

    def _at(self, offset: int) -> Position:
        line = bisect_right(self._lines, offset)
        return Position(line, offset - self._lines[line - 1] + 1)


def positions(text: str) -> Positions:
    """Return the place of every path in `text`; where it is no TOML, of what was found. Never raises."""
    return Positions(text, outline(text))


def locate(places: Positions, path: KeyPath) -> Position:
    """Return the place of `path`, or of its nearest parent; for a missing root key the first line."""
    while path:
        if path in places:
            return places[path]
        path = path[:-1]
    return Position(1, 1)


def _line_starts(text: str) -> list[int]:
    starts = [1 if text.startswith("\ufeff") else 0]
    at = text.find("\n") + 1
    while at:
        starts.append(at)
        at = text.find("\n", at) + 1
    return starts
