"""Put limits learned from good boards into the text of a board file, each with a remark that says where it comes from.

A manner that has no limit yet gets one. A limit that a person wrote stays as it is, with the proposal as a remark below
it. One that was proposed before, and not touched since, is renewed. All else stays byte for byte.

    [[point.limit]]
    kind  = "resistance"
    state = "cold"
    limit = "21.63 Ω .. 25.03 Ω"
    # usual of 19 boards, 2026-11-20: 21.63 Ω .. 25.03 Ω
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from jobkit.book.edit import EditError, Value, append_entry, replace_value
from jobkit.book.edit.proof import proven
from jobkit.book.edit.splice import with_lines
from jobkit.book.toml.outline import KeyPath, outline
from jobkit.book.toml.parse import parse_text
from jobkit.jobs.manner import Manner
from jobkit.named_tuple import NamedTuple

_REMARK = re.compile(
    r"[ \t]*# usual of [0-9]+ boards(?: \([^)\n]*\))?, [0-9]{4}-[0-9]{2}-[0-9]{2}: ([^\n]*?)[ \t]*\r?(?:\n|\Z)"
)
_PARTS = ("kind", "state", "to", "red_on")


class Learned(NamedTuple):
    """A limit for one manner of reading, from so many boards; `dropped` more were left out as outliers."""

    manner: Manner
    limit: str
    boards: int
    dropped: int = 0


class Put(NamedTuple):
    """What became of one.

    `how` is "new", "renewed", "same" (but for the remark), "beside" (a limit written by hand stays), or "left"; then
    `why` says why.
    """

    learned: Learned
    how: str
    why: str = ""


class Proposed(NamedTuple):
    """The new text, and what became of each limit."""

    text: str
    put: tuple[Put, ...]


def propose(text: str, learned: Iterable[Learned], on: date) -> Proposed:
    """Write limits into the text of a board file; raises TomlError where it is none."""
    done = []
    for one in learned:
        try:
            text, how = _put(text, one, on)
            done.append(Put(one, how))
        except EditError as error:
            done.append(Put(one, "left", error.message))
    return Proposed(text, tuple(done))


def _put(text: str, one: Learned, on: date) -> tuple[str, str]:
    points = _point_paths(parse_text(text), one.manner.point)
    if not points:
        raise EditError(f"the board file has no point {one.manner.point}", "add it with its where")
    known = _limit(text, points[0], one.manner)
    if known is None:
        text = append_entry(text, (*points[0], "limit"), _entry(one))
        known = _limit(text, points[0], one.manner)
        assert known is not None
        return _remarked(text, (*known, "limit"), one, on), "new"
    place = (*known, "limit")
    line = line_end(text, place)
    remark = _REMARK.match(text, line)
    how = "beside"
    if remark and remark[1] == _value(text, place):
        how = "renewed" if remark[1] != one.limit else "same"
        text = replace_value(text, place, one.limit)
    return _remarked(text, place, one, on), how


def _entry(one: Learned) -> dict[str, Value]:
    entry: dict[str, Value] = {part: text for part in _PARTS if (text := getattr(one.manner, part))}
    if one.manner.removed:
        entry["removed"] = list(one.manner.removed)
    return {**entry, "limit": one.limit}


def _remarked(text: str, place: KeyPath, one: Learned, on: date) -> str:
    """Write the remark below a limit, in place of an earlier one."""
    line = line_end(text, place)
    earlier = _REMARK.match(text, line)
    outliers = "outlier" if one.dropped == 1 else "outliers"
    dropped = f" ({one.dropped} {outliers} dropped, no confidence)" if one.dropped else ""
    remark = f"{indent_of(text, place)}# usual of {one.boards} boards{dropped}, {on}: {one.limit}"
    in_place = text[:line] + remark + text[earlier.end(1) :] if earlier else ""
    new = in_place or with_lines(text, line, [remark])
    return proven(text, new, place, lambda _doc: None)


def _limit(text: str, point: KeyPath, how: Manner) -> KeyPath | None:
    """Find the limit of exactly this manner; raises EditError where one without a state covers it."""
    for index, row in enumerate(look_up(parse_text(text), point).get("limit", ())):
        same = all((row.get(part) or "") == getattr(how, part) for part in ("kind", "to", "red_on"))
        if same and tuple(sorted(row.get("removed", ()))) == how.removed:
            if row.get("state", "") == how.state:
                return (*point, "limit", index)
            if "state" not in row:
                raise EditError("a limit without a state covers it", "give that limit its state")
    return None


def _point_paths(doc: dict[str, Any], name: str) -> list[KeyPath]:
    return [("point", index) for index, row in enumerate(doc.get("point", ())) if row.get("name") == name]


def line_end(text: str, place: KeyPath) -> int:
    """Give the offset after the line of a key; raises EditError where the key has no line of its own."""
    for end in _ends(text, place):
        return end
    raise EditError("its limit is in braces", "write the limit as a separate table")


def _ends(text: str, place: KeyPath) -> Iterator[int]:
    for section in outline(text).sections:
        yield from (statement.end for statement in section.statements if statement.path == place)


def indent_of(text: str, place: KeyPath) -> str:
    """Return the blanks before a key."""
    start = text.rfind("\n", 0, outline(text).spans[place].key_start) + 1
    return text[start : outline(text).spans[place].key_start]


def _value(text: str, place: KeyPath) -> str:
    return str(look_up(parse_text(text), place))


def look_up(doc: Any, place: KeyPath) -> Any:
    """Return what stands at a place of a document that is there."""
    for key in place:
        doc = doc[key]
    return doc
