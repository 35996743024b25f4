"""The usual spelling of units and limits in a file of the book; nothing else is touched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from jobkit.book.edit.proof import look, proven
from jobkit.book.edit.written import written
from jobkit.book.toml.outline import KeyPath, outline
from jobkit.book.toml.parse import parse_text
from jobkit.units.errors import MisuseError
from jobkit.units.limit import usual_limit_spelling
from jobkit.units.quantity import usual_spelling

_SIBLING = "kind"
"""The kind stands beside the value."""


class _Spot(NamedTuple):
    """A place where a quantity or a limit stands: of which kind, "" where its own unit tells."""

    is_limit: bool
    kind: str


_SPOTS: Mapping[str, Mapping[tuple[str, ...], _Spot]] = {
    "job": {
        ("reading", "value"): _Spot(is_limit=False, kind=_SIBLING),
        ("reading", "range"): _Spot(is_limit=False, kind=_SIBLING),
        ("reading", "limit"): _Spot(is_limit=True, kind=_SIBLING),
        ("inject", "volts"): _Spot(is_limit=False, kind="voltage"),
        ("inject", "amps"): _Spot(is_limit=False, kind="current"),
        ("pad", "reads"): _Spot(is_limit=False, kind="resistance"),
        ("work", "oven"): _Spot(is_limit=False, kind="temperature"),
        ("trial", "ambient"): _Spot(is_limit=False, kind="temperature"),
        ("trial", "limit", "*"): _Spot(is_limit=True, kind=""),
    },
    "board": {
        ("rail", "nominal"): _Spot(is_limit=False, kind="voltage"),
        ("point", "limit", "limit"): _Spot(is_limit=True, kind=_SIBLING),
        ("package", "classified"): _Spot(is_limit=False, kind="temperature"),
    },
    "meters": {
        ("meter", "range", "upto"): _Spot(is_limit=False, kind=_SIBLING),
        ("meter", "range", "step"): _Spot(is_limit=False, kind=_SIBLING),
        ("meter", "range", "lead"): _Spot(is_limit=False, kind="resistance"),
    },
    "bench": {
        ("proof", "*", "load", "limit", "*"): _Spot(is_limit=True, kind=""),
        ("proof", "*", "*", "load", "limit", "*"): _Spot(is_limit=True, kind=""),
    },
    "stock": {("item", "*", "classified"): _Spot(is_limit=False, kind="temperature")},
}
"""Where quantities and limits stand, by kind of file; "*" is any name."""


class Respelled(NamedTuple):
    """One value that is written the usual way now."""

    path: KeyPath
    was: str
    now: str


class Tidied(NamedTuple):
    """A text with the usual spelling, and what was changed."""

    text: str
    changes: tuple[Respelled, ...]


def tidied(kind: str, text: str) -> Tidied:
    """Spell the quantities and limits of a file the usual way; raises TomlError where it is no TOML.

    What cannot be read is left to lint.
    """
    doc = parse_text(text)
    changes = tuple(_changes(kind, doc, doc, ()))
    if not changes:
        return Tidied(text, ())
    new = "".join(_pieces(text, changes))
    return Tidied(proven(text, new, changes[0].path, lambda wanted: _apply(wanted, changes)), changes)


def _pieces(text: str, changes: Sequence[Respelled]) -> Iterator[str]:
    """Give the new text piece by piece, in the order of the file."""
    spans = outline(text).spans
    done = 0
    for span, change in sorted((spans[one.path], one) for one in changes):
        literal = text[span.start : span.end] == f"'{change.was}'"
        yield text[done : span.start]
        yield f"'{change.now}'" if literal else written(change.now)
        done = span.end
    yield text[done:]


def _changes(kind: str, doc: dict[str, Any], node: Any, path: KeyPath) -> Iterator[Respelled]:
    if isinstance(node, str):
        spot = _spot(kind, tuple(name for name in path if isinstance(name, str)))
        usual = _usual(spot, node, look(doc, (*path[:-1], _SIBLING))) if spot else node
        if usual != node:
            yield Respelled(path, node, usual)
    elif isinstance(node, dict | list):
        for key, value in node.items() if isinstance(node, dict) else enumerate(node):
            yield from _changes(kind, doc, value, (*path, key))


@lru_cache(maxsize=1000)  # a file has many entries and few names
def _spot(kind: str, names: tuple[str, ...]) -> _Spot | None:
    for pattern, spot in _SPOTS.get(kind, {}).items():
        if len(pattern) == len(names) and all(
            one in {"*", name} for one, name in zip(pattern, names, strict=True)
        ):
            return spot
    return None


def _usual(spot: _Spot, text: str, beside: object) -> str:
    kind = spot.kind if spot.kind != _SIBLING else beside if isinstance(beside, str) else ""
    try:
        return (
            usual_limit_spelling(text, kind or None) if spot.is_limit else usual_spelling(text, kind or None)
        )
    except MisuseError:
        return text


def _apply(doc: dict[str, Any], changes: tuple[Respelled, ...]) -> None:
    for change in changes:
        look(doc, change.path[:-1])[change.path[-1]] = change.now
