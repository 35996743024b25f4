"""What a value or a key in a file names: a point, a part, an item, another job … by the key that it is under."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from jobkit.book.edit.headers import key_in_header
from jobkit.book.toml.outline import KeyPath, Span
from jobkit.editor.shown.open_file import OpenFile
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.suspects.symptom_names import Sort, names_in_symptom

Role = Literal[
    "attachment", "cause", "channel", "check", "client", "design", "item", "job", "kind", "lot", "meter", "part",
    "point", "rail", "rule", "run", "serial", "source",
]  # fmt: skip
Roles = tuple[Role, ...]

_END: Roles = ("point", "rail", "part")
_SYMPTOM: Roles = ("point", "channel", "check")
_ABOUT: Roles = ("point", "part", "rail", "channel", "check", "item", "meter", "design")

_ROLES: Mapping[str, Mapping[str, Role | Roles]] = {
    "job": {
        "client": "client", "board.design": "design", "board.serial": "serial", "board.kind": "kind",
        "reading.point": "point", "reading.to": _END, "reading.red_on": _END, "reading.removed": "part",
        "reading.meter": "meter", "pad.meter": "meter", "pad.part": "part", "work.part": "part", "work.near": "part",
        "work.heat": "attachment", "inject.rail": "rail", "inject.hottest": "part", "seen.check": "check",
        "seen.passed": _SYMPTOM[1:], "seen.failed": _SYMPTOM[1:], "seen.log": "attachment", "used.part": "part",
        "used.donor_part": "part", "used.item": "item", "used.from": "source", "used.lot": "lot", "trial.run": "run",
        "trial.log": "attachment", "cause.part": "part", "cause.name": "cause", "comeback.of": "job",
        "waive.rule": "rule", "waive.about": _ABOUT, "firmware.saved": "attachment", "message.log": "attachment",
        "intake.photos": "attachment", "seen.photos": "attachment", "pad.photos": "attachment",
        "work.photos": "attachment", "intake.photos.file": "attachment", "seen.photos.file": "attachment",
        "pad.photos.file": "attachment", "work.photos.file": "attachment",
    },
    "board": {
        "design": "design", "kind": "kind", "processor": "part", "parts": "part", "point.name": "point",
        "point.rail": "rail", "point.limit.to": _END, "point.limit.red_on": _END, "point.limit.removed": "part",
        "rail.name": "rail", "rail.feeds": "part", "rail.through": "part", "rail.made_from": "rail",
        "memory.part": "part", "memory.channels": "channel", "package.part": "part", "package.item": "item",
        "cause.part": "part", "cause.name": "cause", "check.name": "check", "check.covers": _SYMPTOM,
    },
    "bench": {
        "lint.off": "rule", "lint.note": "rule", "lint.warn": "rule", "lint.error": "rule",
        "proof.*.cold_resistance": "point", "proof.*.*.cold_resistance": "point", "proof.*.function": "run",
        "proof.*.*.function": "run", "proof.*.*.run": "run", "proof.*.*.*.run": "run", "check.kind": "kind",
        "check.name": "check", "check.covers": _SYMPTOM,
    },
    "meters": {"meter.name": "meter"},
    "stock": {"item.*.received.lot": "lot", "item.*.lot.name": "lot"},
    "clients": {},
}  # fmt: skip
"""What the value of a key names, by kind of file; "*" is any name, and lists count as their elements.

Where a value may be a name of several sorts, it is that of the first which the board file knows.
"""

_WORDS: Mapping[str, frozenset[str]] = {
    "job": frozenset(
        ("intake.condition", "inject.hottest", "seen.passed", "seen.failed", "work.probe.*", "cause.name")
    ),
    "board": frozenset(("cause.name",)),
}
"""Keys whose texts name parts among other words: "U1 missing", "Q214 joint", "U1 or its joints"."""

_KEYS: Mapping[str, Mapping[str, Role | Roles]] = {
    "board": {"memory.balls.*": "channel", "cause.affects.*": _SYMPTOM},
    "stock": {"item.*": "item"},
}
"""Keys that are names themselves."""

_SORTS: Mapping[Sort, Roles] = {"subject": _SYMPTOM, "channel": ("channel",), "part": ("part",), "end": _END}
_WORD = re.compile(r"[^\s,:;]+")


class Candidate(NamedTuple):
    """What may be a name in a text: of what, what it is, under which path, and its offsets without quotation marks.

    One that is `loose` is a name only if the board file knows it.
    """

    roles: Roles
    name: str
    path: KeyPath
    start: int
    end: int
    loose: bool = False


def role_of(kind: str, path: KeyPath) -> Role | None:
    """Tell what the value at a path of a kind of file names, or most likely names; None where it is no name."""
    return next(iter(roles_of(_ROLES, kind, path)), None)


def roles_of(table: Mapping[str, Mapping[str, Role | Roles]], kind: str, path: KeyPath) -> Roles:
    """Tell what may be named at a path of a kind of file, by one of the tables above."""
    found = _at(table.get(kind, {}), kind, path)
    return () if found is None else found if isinstance(found, tuple) else (found,)


def _at(table: Mapping[str, Role | Roles], kind: str, path: KeyPath) -> Role | Roles | None:
    return next((table[one] for one in _patterns(kind, path) if one in table), None)


def _patterns(kind: str, path: KeyPath) -> Iterator[str]:
    """Yield a path as the tables have it: as it is, and with "*" for the names that are free."""
    words = [one for one in path if isinstance(one, str)]
    if kind == "bench" and words[:1] == ["proof"]:
        words[1:-1] = ["*"] * len(words[1:-1])
    if kind == "stock" and words[:1] == ["item"] and len(words) > 1:
        words[1] = "*"
    yield ".".join(words)
    yield ".".join((*words[:-1], "*"))


def names_in(file: OpenFile, having: str = "") -> Iterator[Candidate]:
    """Yield all names in a file, or those alone that are written with some letters, in the order of the outline."""
    for path, span in file.text.outline.spans.items():
        yield from names_at(file, path, span, having)
    yield from _in_headers(file)


def names_at(file: OpenFile, path: KeyPath, span: Span, having: str = "") -> Iterator[Candidate]:
    """Yield the names in one value and its key."""
    if span.form == "value" and having in file.text.text[span.start : span.end]:
        yield from _in_value(file, path, span)
    if (
        file.kind in _KEYS
        and span.form != "header"
        and having in file.text.text[span.key_start : span.key_end]
    ):
        yield from _in_key(file, path, span)


def _in_value(file: OpenFile, path: KeyPath, span: Span) -> Iterator[Candidate]:
    roles = roles_of(_ROLES, file.kind, path)
    words = any(one in _WORDS.get(file.kind, ()) for one in _patterns(file.kind, path))
    value = file.text.value(span) if roles or words else None
    if not isinstance(value, str):
        return
    start, end = _inside(file, span.start, span.end)
    if roles:
        yield Candidate(roles, value, path, start, end, loose=roles == _ABOUT)
    if words and file.text.text[start:end] == value:
        for word in _WORD.finditer(value):
            if word[0] != value:
                yield Candidate(
                    ("part",), word[0], path, start + word.start(), start + word.end(), loose=True
                )


def _in_key(file: OpenFile, path: KeyPath, span: Span) -> Iterator[Candidate]:
    roles = roles_of(_KEYS, file.kind, path)
    if not roles or not isinstance(path[-1], str) or span.key_end == span.key_start:
        return
    start, end = _inside(file, span.key_start, span.key_end)
    if roles != _SYMPTOM:
        yield Candidate(roles, path[-1], path, start, end)
    elif file.text.text[start:end] == path[-1]:
        for one in names_in_symptom(path[-1]):
            name = path[-1][one.start : one.end]
            yield Candidate(_SORTS[one.sort], name, path, start + one.start, start + one.end, loose=True)


def _in_headers(file: OpenFile) -> Iterator[Candidate]:
    """Yield the items of stock.toml in the headers of their tables."""
    for section in file.text.outline.sections if file.kind == "stock" else ():
        if section.path[:1] == ("item",) and len(section.path) > 1:
            place = key_in_header(file.text.text, section, 1)
            if place:
                yield Candidate(("item",), str(section.path[1]), section.path[:2], *_inside(file, *place))


def _inside(file: OpenFile, start: int, end: int) -> tuple[int, int]:
    """Return where a value or key begins and ends, its quotation marks not counted."""
    quoted = file.text.text[start : start + 1] in {'"', "'"}
    return (start + 1, end - 1) if quoted else (start, end)


def candidates_at(file: OpenFile, offset: int) -> list[Candidate]:
    """Return what may be a name at an offset of a file, the shortest first."""
    found = file.text.path_at(offset)
    if found is None:
        return []
    path, span, _ = found
    there = [*names_at(file, path, span), *_in_headers(file)]
    here = [one for one in there if one.start <= offset <= one.end]
    return sorted(here, key=lambda one: one.end - one.start)
