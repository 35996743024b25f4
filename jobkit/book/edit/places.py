"""Where an edit belongs in a TOML text: ends of blocks, and places for new ones.

A block is a header with its keys, the remarks directly above it, and the remarks directly below it unless they lead on
to the next header. Lines that begin with `#:` are for editors and belong to the file.
"""

import re
from collections.abc import Iterator

from jobkit.book.toml.outline import KeyPath, Outline
from jobkit.jobs.sorts import ROWS

USUAL_ORDER = (
    "bench", "tax",
    "rail", "point", "parts", "package", "memory", "check",
    *dict.fromkeys(row.path[0] for row in ROWS),
    "decision", "proof", "heat", "pads", "papers", "patience", "lint", "logs",
    "meter", "item", "client",
    "own",
)  # fmt: skip
"""The tables of all files, as they usually follow one another."""

_LINE = re.compile(r"[^\n]*\n|[^\n]+\Z")


def family(found: Outline, path: KeyPath) -> list[int]:
    """Return which sections are the table at `path` or lie within it."""
    return [number for number, section in enumerate(found.sections) if section.path[: len(path)] == path]


def block_start(text: str, found: Outline, number: int) -> int:
    """Return where a section's block begins: at the first of the remarks directly above its header."""
    section = found.sections[number]
    start = section.start
    if number == 0:
        return start
    for line in reversed(_LINE.findall(text[found.sections[number - 1].end : start])):
        if not _is_remark(line):
            break
        start -= len(line)
    return start


def block_end(text: str, found: Outline, number: int) -> int:
    """Return where a section's block ends: after its last key and the remarks that follow at once."""
    end = found.sections[number].end
    last = number + 1 == len(found.sections)
    rest = text[end:] if last else text[end : found.sections[number + 1].start]
    remarks = "".join(_leading_remarks(rest))
    if not last and len(remarks) == len(rest):  # they stand directly above the next header
        remarks = "".join(line for line in _leading_remarks(rest) if _is_for_editors(line))
    return end + len(remarks)


def place_for(text: str, found: Outline, path: KeyPath) -> int:
    """Return where a new table belongs: behind its relatives, else by the usual order, else at the end."""
    entry = _nearest_entry(found, path)
    if entry:
        return block_end(text, found, family(found, entry)[-1])
    number = _last_before(found, path)
    return len(text) if number is None else block_end(text, found, number)


def _last_before(found: Outline, path: KeyPath) -> int | None:
    names = [section.path[0] if section.path else "" for section in found.sections]
    if path[0] in names:
        return len(names) - 1 - names[::-1].index(path[0])
    rank = _rank(path[0])
    ranks = [_rank(name) for name in names]
    before = [number for number, other in enumerate(ranks) if 0 <= other < rank]
    if before:
        return before[-1]
    behind = [number for number, other in enumerate(ranks) if other > rank >= 0]
    return behind[0] - 1 if behind else None


def _rank(name: str | int) -> int:
    return USUAL_ORDER.index(name) if isinstance(name, str) and name in USUAL_ORDER else -1


def _nearest_entry(found: Outline, path: KeyPath) -> KeyPath:
    """Return the innermost entry of a `[[table]]` that `path` is in; its tables must be before the next entry."""
    for length in range(len(path) - 1, 0, -1):
        if isinstance(path[length - 1], int) and path[:length] in found.spans:
            return path[:length]
    return ()


def _leading_remarks(rest: str) -> Iterator[str]:
    for line in _LINE.findall(rest):
        if not line.lstrip(" \t").startswith("#"):
            return
        yield line


def _is_remark(line: str) -> bool:
    return line.lstrip(" \t").startswith("#") and not _is_for_editors(line)


def _is_for_editors(line: str) -> bool:
    return line.startswith("#:")
