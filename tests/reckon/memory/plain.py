"""The plain way to count a memory log, word by word and line by line: what the bit planes are held against."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple


class Row(NamedTuple):
    """One row of a log of one channel."""

    written: int
    read: int
    times: int = 1


def words_text(rows: Iterable[Row], width: int) -> str:
    digits = (width + 3) // 4
    return "\n".join(f"{row.written:0{digits}X}\n{row.read:0{digits}x}" for row in rows)


def class_of(row: Row, width: int) -> str:
    """Say to which class a word belongs: few, bytes or many."""
    failing = row.written ^ row.read
    lanes = [failing >> 8 * byte & 0xFF for byte in range(width // 8)] if width % 8 == 0 else []
    if any(lanes) and set(lanes) <= {0, 0xFF} and 0 in lanes:
        return "bytes"
    return "many" if failing.bit_count() > max(3, width // 4) else "few"


def counted(rows: Iterable[Row], width: int) -> dict[str, int]:
    """Count everything that the counts of a channel hold, by a name of each."""
    found: Counter[str] = Counter()
    for row in rows:
        failing = row.written ^ row.read
        kind = class_of(row, width)
        names = [f"{kind} words", *(f"{kind} {name}" for name in _line_names(row, width))]
        if failing:
            names += ["errors", f"{kind} wrong"]
        if kind == "bytes":
            names += [f"inverted {byte}" for byte in range(width // 8) if failing >> 8 * byte & 0xFF]
        if failing == (1 << width) - 1:
            names.append("inverted words")
        found.update(dict.fromkeys(names, row.times))
    return dict(found)


def _line_names(row: Row, width: int) -> Iterator[str]:
    ones = [line for line in range(width) if row.written >> line & 1]
    for line in ones:
        yield f"ones {line}"
        yield from (f"both {line} {other}" for other in ones if other < line)
    for line in range(width):
        if (row.written ^ row.read) >> line & 1:
            name = f"read {row.read >> line & 1} {line}"
            yield name
            yield from (f"{name} with {other}" for other in ones)
