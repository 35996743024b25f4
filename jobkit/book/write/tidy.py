"""The usual spelling of units and limits in a file of the book; nothing else is touched."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, lru_cache
from typing import Any

from jobkit.book.edit.proof import look, proven
from jobkit.book.edit.written import written
from jobkit.book.schema.entry_keys import BESIDE, Key, every_key
from jobkit.book.schema.schema_files import FILES
from jobkit.book.toml.outline import KeyPath, outline
from jobkit.book.toml.parse import parse_text
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.limit import usual_limit_spelling
from jobkit.units.quantity import usual_spelling


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
    """Spell the quantities and limits of a file the usual way; raises TomlError where it is not TOML.

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
        usual = _usual(spot, node, look(doc, (*_table_of(path), "kind"))) if spot else node
        if usual != node:
            yield Respelled(path, node, usual)
    elif isinstance(node, dict | list):
        for key, value in node.items() if isinstance(node, dict) else enumerate(node):
            yield from _changes(kind, doc, value, (*path, key))


def _table_of(path: KeyPath) -> KeyPath:
    """Give the table in which a value is, or the list that holds it."""
    key = max(at for at, name in enumerate(path) if isinstance(name, str))
    return path[:key]


@lru_cache(maxsize=1000)  # a file has many entries and few names
def _spot(kind: str, names: tuple[str, ...]) -> Key | None:
    """Find the key that is at a place; None where it holds neither a quantity nor a limit."""
    for pattern, key in _spots(kind).items():
        if len(pattern) == len(names) and all(
            one in {"*", name} for one, name in zip(pattern, names, strict=True)
        ):
            return key
    return None


@cache
def _spots(kind: str) -> Mapping[tuple[str, ...], Key]:
    """Give the keys that hold a quantity or a limit, by path; "*" is any name."""
    spots = {}
    for path, key in every_key(kind) if kind in FILES else ():
        if key.form in _SPELLED:
            spots[path] = key
        elif key.form == "quantities":
            spots[path] = key._replace(form="quantity")
        elif key.form == "pairs" and key.of in _SPELLED:
            spots[*path, "*"] = key._replace(form=key.of)
    return spots


def _usual(key: Key, text: str, beside: object) -> str:
    kind = key.kind if key.kind != BESIDE else beside if isinstance(beside, str) else ""
    try:
        return _SPELLED[key.form](text, kind or None)
    except MisuseError:
        return text


_SPELLED: Mapping[str, Callable[[str, str | None], str]] = {
    "quantity": usual_spelling,
    "limit": usual_limit_spelling,
}
"""The forms that have a usual spelling."""


def _apply(doc: dict[str, Any], changes: tuple[Respelled, ...]) -> None:
    for change in changes:
        look(doc, change.path[:-1])[change.path[-1]] = change.now
