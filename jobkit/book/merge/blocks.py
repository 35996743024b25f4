"""A file of the book as blocks: a header, the remarks directly above it, and what belongs to it.

The merge sees blocks, not lines, so that two benches may each add an entry in the same place. A form that
blocks do not fit (broken TOML, a key twice, a table far from the entry it belongs to) gives None.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Protocol

from jobkit.book.toml.outline import KeyPath, Outline, Section, outline
from jobkit.named_tuple import NamedTuple

Lines = tuple[str, ...]

# An entry's own time, by the key that holds it: most entries; a wait; an agreed price.
_TIMES = ("at", "since", "on")
_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[T ][0-9:.]+)?")


class Item(Protocol):
    """What a merge moves as a whole: a block or a statement."""

    @property
    def content(self) -> Lines:
        """All lines that are not blank."""

    def lines(self) -> Iterator[str]:
        """Yield all lines as they were."""


class KeyValue(NamedTuple):
    """One `key = value`, the lines of it, and the remarks and blank lines above."""

    key: KeyPath
    value: str
    notes: Lines
    pair: Lines

    @property
    def content(self) -> Lines:
        """All lines that are not blank."""
        return not_blank(self.notes + self.pair)

    def lines(self) -> Iterator[str]:
        """Yield all lines as they were."""
        yield from self.notes
        yield from self.pair


class Block(NamedTuple):
    """A header, what is beneath it, and the blocks that belong to it; the whole file is one without a header.

    `gap` are the blank lines above, `notes` the remarks directly above the header, `tail` remarks and blank
    lines beneath the last statement. `content` are all lines of the block and its inner blocks that are not
    blank.
    """

    name: tuple[str, ...]
    is_entry: bool
    gap: Lines
    notes: Lines
    head: Lines
    statements: tuple[KeyValue, ...]
    tail: Lines
    blocks: "tuple[Block, ...]"
    content: Lines

    @property
    def time(self) -> str:
        """When an entry happened, as text that sorts by time; "" where it does not say, and for tables."""
        values = {
            statement.key[0]: statement.value for statement in self.statements if len(statement.key) == 1
        }
        written = next((values[key] for key in _TIMES if key in values), "")
        found = _TIME.search(written)
        return found[0].replace(" ", "T") if found and self.is_entry else ""

    def lines(self) -> Iterator[str]:
        """Yield all lines as they were."""
        yield from (*self.gap, *self.notes, *self.head)
        for statement in self.statements:
            yield from statement.lines()
        yield from self.tail
        for block in self.blocks:
            yield from block.lines()


EMPTY = Block((), False, (), (), (), (), (), (), ())  # noqa: FBT003 - a record's field


def blocks_of(text: str) -> Block | None:
    """Return a whole file as a block, or None where blocks do not fit it.

    `text` has plain line feeds, no byte order mark and, unless it is empty, a last line that ends; blank
    lines at its very end are the caller's.
    """
    found = outline(text)
    if found.lost is not None or _has_twins(found):
        return None
    return _nest(_flat(text, found))


def _has_twins(found: Outline) -> bool:
    """Return whether a table or key is there twice, which is not TOML."""
    tables = [section.path for section in found.sections]
    keys = [statement.path for section in found.sections for statement in section.statements]
    return len(set(tables)) < len(tables) or len(set(keys)) < len(keys)


class _Flat(NamedTuple):
    path: KeyPath
    block: Block


def _flat(text: str, found: Outline) -> Iterator[_Flat]:
    """Yield the sections in order, each with the gap and the notes above its header."""
    gap: Lines = ()
    notes: Lines = ()
    ends = [section.start for section in found.sections[1:]] + [len(text)]
    for number, (section, end) in enumerate(zip(found.sections, ends, strict=True)):
        head = _lines(text, section.start, section.head_end) if number else ()
        rest = _lines(text, section.end, end)
        tail, next_gap, next_notes = _divide(rest) if end < len(text) else (rest, (), ())
        statements = tuple(_statements(text, found, section))
        name = tuple(part for part in section.path if isinstance(part, str))
        is_entry = bool(section.path) and isinstance(section.path[-1], int)
        yield _Flat(section.path, Block(name, is_entry, gap, notes, head, statements, tail, (), ()))
        gap, notes = next_gap, next_notes


def _statements(text: str, found: Outline, section: Section) -> Iterator[KeyValue]:
    above = section.head_end
    for path, start, end in section.statements:
        span = found.spans[path]
        key = path[len(section.path) :]
        value = text[span.start : span.end]
        yield KeyValue(key, value, _lines(text, above, start), _lines(text, start, end))
        above = end


def _divide(lines: Lines) -> tuple[Lines, Lines, Lines]:
    """Divide what is above a header into the tail of the block before, blank lines, and remarks directly above."""
    notes = len(lines)
    while notes and lines[notes - 1].strip():
        notes -= 1
    gap = notes
    while gap and not lines[gap - 1].strip():
        gap -= 1
    return lines[:gap], lines[gap:notes], lines[notes:]


def _nest(flat: Iterable[_Flat]) -> Block | None:
    """Put each block into the one before it that its path continues.

    None where a table belongs to an entry of a list that other blocks have closed: it would change hands if
    something came between.
    """
    open_blocks: list[tuple[KeyPath, Block, list[Block]]] = []
    for path, block in flat:
        while open_blocks and not _continues(path, open_blocks[-1][0]):
            _close(open_blocks)
        counts = [number for number, part in enumerate(path[:-1]) if isinstance(part, int)]
        if counts and path[: counts[-1] + 1] not in [open_path for open_path, _, _ in open_blocks]:
            return None
        open_blocks.append((path, block, []))
    while len(open_blocks) > 1:
        _close(open_blocks)
    _, block, inner = open_blocks[0]
    return _whole(block, inner)


def _continues(path: KeyPath, of: KeyPath) -> bool:
    return path[: len(of)] == of


def _close(open_blocks: list[tuple[KeyPath, Block, list[Block]]]) -> None:
    _, block, inner = open_blocks.pop()
    open_blocks[-1][2].append(_whole(block, inner))


def _whole(block: Block, inner: list[Block]) -> Block:
    block = block._replace(blocks=tuple(inner))
    return block._replace(content=not_blank(tuple(block.lines())))


def _lines(text: str, start: int, end: int) -> Lines:
    return tuple(text[start:end].removesuffix("\n").split("\n")) if end > start else ()


def not_blank(lines: Lines) -> Lines:
    """Return the lines that hold more than spaces."""
    return tuple(line for line in lines if line.strip())
