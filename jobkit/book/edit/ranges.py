"""Which ranges of a TOML text say what is at a path, with all that goes when it goes."""

import re
from collections.abc import Iterator

from jobkit.book.edit.places import block_end, block_start, family
from jobkit.book.edit.written import EditError, dotted
from jobkit.book.toml.outline import KeyPath, Outline

Range = tuple[int, int]

_BLANK_LINE = re.compile(r"[ \t]*\r?\n")
_COMMA = re.compile(r"#[^\n]*|(,)")
_TO_NEXT = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*+,[ \t]*")


def ranges_of(text: str, found: Outline, path: KeyPath) -> list[Range]:
    """Find the blocks and lines that say what is at `path`, or the item within brackets or braces.

    Raises `EditError` for a part of a dotted key within braces.
    """
    return [*_blocks(text, found, path), *_lines(found, path)] or _item(text, found, path)


def _blocks(text: str, found: Outline, path: KeyPath) -> Iterator[Range]:
    for number in family(found, path):
        start = block_start(text, found, number)
        line_before = text.rfind("\n", 0, max(start - 1, 0)) + 1
        if _BLANK_LINE.fullmatch(text, line_before, start):
            start = line_before
        yield start, block_end(text, found, number)


def _lines(found: Outline, path: KeyPath) -> Iterator[Range]:
    for section in found.sections:
        if section.path[: len(path)] != path:
            for statement in section.statements:
                if statement.path[: len(path)] == path:
                    yield statement.start, statement.end


def _item(text: str, found: Outline, path: KeyPath) -> list[Range]:
    """Find an item and the comma that goes with it: the one before it; for the first item the one behind."""
    span = found.spans[path]
    if span.form != "value" or text[: span.key_start].rstrip(" \t").endswith("."):
        raise EditError(f"{dotted(path)} is part of a dotted key here", "remove it in an editor")
    before = [
        other.end
        for key, other in found.spans.items()
        if len(key) >= len(path) and key[: len(path) - 1] == path[:-1] and other.end <= span.key_start
    ]
    if not before:
        following = _TO_NEXT.match(text, span.end)
        return [(span.key_start, following.end() if following else span.end)]
    return _with_comma(text, max(before), span.key_start, span.end)


def _with_comma(text: str, before: int, start: int, end: int) -> list[Range]:
    gap = text[before:start]
    if gap.strip() == ",":
        return [(before, end)]
    comma = before + next(match.start() for match in _COMMA.finditer(gap) if match[1])
    return [(comma, comma + 1), (start, end)]
