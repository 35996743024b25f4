"""What a value in a file names: a point, a part, an item, another job … by the key that it is under."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from jobkit.book.toml.outline import KeyPath, Span
from jobkit.editor.open_file import OpenFile

Role = Literal[
    "attachment", "cause", "channel", "check", "client", "design", "item", "job", "kind", "lot", "meter", "part",
    "point", "rail", "rule", "run", "serial", "source",
]  # fmt: skip

_ROLES: Mapping[str, Mapping[str, Role]] = {
    "job": {
        "client": "client", "board.design": "design", "board.serial": "serial", "board.kind": "kind",
        "reading.point": "point", "reading.to": "point", "reading.red_on": "point", "reading.removed": "part",
        "reading.meter": "meter", "pad.meter": "meter", "pad.part": "part", "work.part": "part", "work.near": "part",
        "work.heat": "attachment", "inject.rail": "rail", "inject.hottest": "part", "seen.check": "check",
        "seen.passed": "channel", "seen.failed": "channel", "seen.log": "attachment", "used.part": "part",
        "used.item": "item", "used.from": "source", "used.lot": "lot", "trial.run": "run", "trial.log": "attachment",
        "cause.part": "part", "cause.name": "cause", "comeback.of": "job", "waive.rule": "rule",
        "firmware.saved": "attachment", "message.log": "attachment",
    },
    "board": {
        "design": "design", "kind": "kind", "processor": "part", "parts": "part", "point.name": "point",
        "point.rail": "rail", "point.limit.to": "point", "point.limit.removed": "part", "rail.name": "rail",
        "rail.feeds": "part", "rail.through": "part", "rail.made_from": "rail", "memory.part": "part",
        "memory.channels": "channel", "package.part": "part", "package.item": "item", "cause.part": "part",
        "cause.name": "cause", "check.name": "check", "check.covers": "point",
    },
    "bench": {
        "lint.off": "rule", "lint.note": "rule", "lint.warn": "rule", "lint.error": "rule",
        "proof.*.cold_resistance": "point", "proof.*.*.cold_resistance": "point", "check.kind": "kind",
    },
    "meters": {"meter.name": "meter"},
    "stock": {},
    "clients": {},
}  # fmt: skip
"""What the value of a key names, by kind of file; "*" is any name, and lists count as their elements."""


class Named(NamedTuple):
    """A name in a text: what it is a name of, how it is written there, and where."""

    role: Role
    name: str
    path: KeyPath
    span: Span


def role_of(kind: str, path: KeyPath) -> Role | None:
    """Tell what the value at a path of a kind of file names; None where it is no name."""
    words = [str(one) for one in path if isinstance(one, str)]
    if kind == "bench" and words[:1] == ["proof"]:
        words[1:-1] = ["*"] * len(words[1:-1])
    return _ROLES.get(kind, {}).get(".".join(words))


def name_at(file: OpenFile, offset: int) -> Named | None:
    """Return the name at an offset of a file; None where there is none."""
    found = file.text.path_at(offset)
    if found is None:
        return None
    path, span, on_value = found
    if _is_item(file.kind, path) and not on_value:
        return Named("item", str(path[1]), path[:2], span)
    role = role_of(file.kind, path)
    value = file.text.value(span) if role and on_value else None
    return Named(role, value, path, span) if role and isinstance(value, str) else None


def names_in(file: OpenFile, having: str = "") -> Iterator[Named]:
    """Yield all names in a file, or those alone that are written with some letters, in the order of the outline."""
    for path, span in file.text.outline.spans.items():
        if _is_item(file.kind, path) and len(path) == 2 and span.key_end > span.key_start:
            yield Named("item", str(path[1]), path, span)
        if span.form != "value" or having not in file.text.text[span.start : span.end]:
            continue
        role = role_of(file.kind, path)
        value = file.text.value(span) if role else None
        if role and isinstance(value, str):
            yield Named(role, value, path, span)


def _is_item(kind: str, path: KeyPath) -> bool:
    return kind == "stock" and len(path) >= 2 and path[0] == "item"
