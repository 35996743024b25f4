"""Line and column of every path of a TOML text, for findings that point at the place to fix."""

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from functools import cached_property

from jobkit.book.toml.outline import KeyPath, Outline, outline
from jobkit.named_tuple import NamedTuple


class Position(NamedTuple):
    """A place in a text: line and column from 1, in characters; a byte order mark takes no room."""

    line: int
    column: int


class Positions(Mapping[KeyPath, Position]):
    """Where each path of a text is: keys and list indices lead to the place of the key.

    An entry of a `[[table]]` is at its brackets, an element of a list at its value.
    """

    def __init__(self, text: str, found: Outline) -> None:
        self._spans = found.spans
        self._lines = _line_starts(text)

    def __getitem__(self, path: KeyPath) -> Position:
        return self.at(self._spans[path].key_start)

    def __iter__(self) -> Iterator[KeyPath]:
        return iter(self._spans)

    def __len__(self) -> int:
        return len(self._spans)

    def value(self, path: KeyPath) -> Position:
        """Return the place of the value at `path`, of a table its header; raise `KeyError` without one."""
        return self.at(self._spans[path].start)

    def around(self, offset: int) -> KeyPath:
        """Return the path of the innermost value that holds this place of the text, () where none does."""
        starts, paths = self._values
        before = bisect_right(starts, offset)
        path = paths[before - 1] if before else ()
        # The value that begins last before the place may have ended; one that holds both is further up its path.
        while path and not self._holds(path, offset):
            path = path[:-1]
        return path

    def _holds(self, path: KeyPath, offset: int) -> bool:
        span = self._spans.get(path)
        return span is not None and span.form == "value" and span.start <= offset < span.end

    @cached_property
    def _values(self) -> tuple[list[int], list[KeyPath]]:
        """Where each value begins, in the order of the text, and its path."""
        values = [(path, span) for path, span in self._spans.items() if span.form == "value"]
        values.sort(key=lambda value: value[1].start)
        return [span.start for _, span in values], [path for path, _ in values]

    def at(self, offset: int) -> Position:
        """Return line and column of an offset of the text."""
        line = bisect_right(self._lines, offset)
        return Position(line, offset - self._lines[line - 1] + 1)


def positions(text: str) -> Positions:
    """Return the place of every path in `text`; where it is not TOML, of what was found. Never raises."""
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
