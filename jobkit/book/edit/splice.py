"""Splices: the text before a place and after it stay byte for byte, and something comes between."""

import re
from collections.abc import Sequence

from jobkit.book.toml.outline import KeyPath, Outline
from jobkit.book.toml.parse import BOM

_BLANK_LINE = re.compile(r"[ \t]*(?:\r?\n|\Z)")


def with_lines(text: str, place: int, lines: Sequence[str]) -> str:
    """Insert whole lines at a place where a line begins, with the line ends of the file.

    Behind a last line that has no end, the new last line has none either.
    """
    newline = "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n"
    new = newline.join(lines)
    begins_line = text[:place].endswith("\n") or not text[:place].strip(BOM)
    return text[:place] + (new + newline if begins_line else newline + new) + text[place:]


def with_block(text: str, place: int, lines: Sequence[str]) -> str:
    """Insert a block, with a blank line before it unless it is first or the file packs its blocks tight."""
    spaced = place == len(text) or _BLANK_LINE.match(text, place)
    first = not text[:place].strip(BOM)
    return with_lines(text, place, ["", *lines] if spaced and not first else lines)


def with_item(text: str, found: Outline, path: KeyPath, item: str) -> str:
    """Insert an item behind the last one of the list in brackets, or the table in braces, at `path`."""
    start = found.spans[path].start
    ends = [
        span.end for key, span in found.spans.items() if len(key) > len(path) and key[: len(path)] == path
    ]
    if ends:
        return f"{text[: max(ends)]}, {item}{text[max(ends) :]}"
    if text[start] == "{":
        item = f" {item} " if text[start + 1] == "}" else f" {item}"
    return text[: start + 1] + item + text[start + 1 :]


def without(text: str, ranges: Sequence[tuple[int, int]]) -> str:
    """Cut ranges out; where the last line of the text had no end, the new last line has none either."""
    kept, done = [], 0
    for start, end in sorted(ranges):
        kept.append(text[done:start])
        done = end
    new = "".join(kept) + text[done:]
    if done == len(text) and not text.endswith("\n"):
        new = new.removesuffix("\n").removesuffix("\r")
    return new
