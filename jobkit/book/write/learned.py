"""Put what finished jobs teach of causes into the text of a board file, each value with a remark that says from what.

What a person wrote stays as it is, with the proposal as a remark below it; that of a weight says to add `learned`. What
was learned before, and not touched since, is renewed. A cause that the board file does not have is added.

    [[cause]]
    name    = "supply connector"
    weight  = 4
    # learned from 3 jobs, 2026-11-20: 4
    learned = 2026-11-20
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from jobkit.book.edit import EditError, Value, append_entry, set_key
from jobkit.book.edit.proof import proven
from jobkit.book.edit.splice import with_lines
from jobkit.book.edit.written import written
from jobkit.book.toml.outline import KeyPath
from jobkit.book.toml.parse import parse_text
from jobkit.book.write.propose import indent_of, line_end, look_up
from jobkit.named_tuple import NamedTuple

_REMARK = re.compile(
    r"[ \t]*# learned from [0-9]+ jobs?, [0-9]{4}-[0-9]{2}-[0-9]{2}: ([^\n]*?)"
    r"((?:; if you take it over, add learned = [0-9-]{10})?)[ \t]*\r?(?:\n|\Z)"
)


class CauseToWrite(NamedTuple):
    """What is to be written of a cause; nothing of `affects` where too few jobs tell."""

    name: str
    part: str
    weight: Decimal
    affects: Mapping[str, float]
    jobs: int


class Wrote(NamedTuple):
    """What became of a key of a cause: new, renewed, unchanged, or beside a value that a person wrote."""

    cause: str
    key: str
    value: str
    how: str


def write_causes(text: str, causes: Iterable[CauseToWrite], on: date) -> tuple[str, tuple[Wrote, ...]]:
    """Write causes into the text of a board file; raises TomlError where it is none."""
    done: list[Wrote] = []
    for cause in causes:
        text = _with_cause(text, cause, on, done)
    return text, tuple(done)


def _with_cause(text: str, cause: CauseToWrite, on: date, done: list[Wrote]) -> str:
    place = _place(text, cause.name)
    is_new = place is None
    if place is None:
        entry = {"name": cause.name, **({"part": cause.part} if cause.part else {})}
        text = append_entry(text, "cause", entry)
        place = _place(text, cause.name)
        assert place is not None
    if _is_ours(text, (*place, "weight")):
        text = set_key(text, (*place, "learned"), on)
    values: dict[str, Value] = {"weight": _number(cause.weight)}
    if cause.affects:
        values["affects"] = dict(cause.affects)
    for key, value in values.items():
        try:
            text, how = _put(text, (*place, key), value, cause.jobs, on)
        except EditError as error:
            how = f"left out: {error.message}"
        done.append(Wrote(cause.name, key, written(value), "a new cause" if is_new else how))
    return text


def _put(text: str, place: KeyPath, value: Value, jobs: int, on: date) -> tuple[str, str]:
    if not _is_ours(text, place):
        return _remarked(text, place, value, jobs, on), "beside"
    there = _value(text, place)
    how = "new" if there is None else "unchanged" if there == written(value) else "renewed"
    return _remarked(set_key(text, place, value), place, value, jobs, on), how


def _is_ours(text: str, place: KeyPath) -> bool:
    """Whether a key may be written: it is not there, or it is as its remark says that it was learned."""
    there = _value(text, place)
    if there is None:
        return True
    remark = _REMARK.match(text, line_end(text, place))
    return remark is not None and remark[1] == there


def _value(text: str, place: KeyPath) -> str | None:
    there = look_up(parse_text(text), place[:-1]).get(place[-1])
    return None if there is None else written(there)


def _remarked(text: str, place: KeyPath, value: Value, jobs: int, on: date) -> str:
    """Write the remark below a key, in place of an earlier one."""
    line = line_end(text, place)
    earlier = _REMARK.match(text, line)
    remark = f"{indent_of(text, place)}# learned from {jobs} {'job' if jobs == 1 else 'jobs'}, {on}: {written(value)}"
    if place[-1] == "weight" and "learned" not in look_up(parse_text(text), place[:-1]):
        # Without its day the jobs that the weight contains would be counted a second time.
        remark += f"; if you take it over, add learned = {on}"
    in_place = text[:line] + remark + text[earlier.end(2) :] if earlier else ""
    return proven(text, in_place or with_lines(text, line, [remark]), place, lambda _doc: None)


def _place(text: str, name: str) -> KeyPath | None:
    rows = parse_text(text).get("cause", ())
    return next((("cause", index) for index, row in enumerate(rows) if row.get("name") == name), None)


def _number(weight: Decimal) -> int | float:
    return int(weight) if weight == weight.to_integral_value() else float(weight)
