"""Take out of a document what its schema refused, so that the rest can be read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from jobkit.book.schema.gate import Doc
from jobkit.book.schema.schema_files import rules_at
from jobkit.jobs.finding import Place


def pruned(kind: str, doc: Doc, places: Iterable[Place]) -> Doc:
    """Copy `doc` without the values at `places`; list entries stay where they were, so that indices still hold.

    A refused entry of an array of tables becomes an empty table. A refused item of any other list takes the list
    with it, as half a list would read as a whole one.
    """
    copy = _copied(doc)
    for place in sorted(places, key=len, reverse=True):
        _remove(kind, copy, place)
    return copy if isinstance(copy, dict) else {}


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(item) for key, item in value.items()}
    return [_copied(item) for item in value] if isinstance(value, list) else value


def _remove(kind: str, doc: Doc, place: Place) -> None:
    *path, last = place or ("",)
    holder: Any = doc
    for key in path:
        holder = _child(holder, key)
    if isinstance(holder, dict):
        holder.pop(str(last), None)
    elif isinstance(holder, list) and isinstance(last, int):
        if "properties" not in rules_at(kind, place):
            _remove(kind, doc, place[:-1])
        elif last < len(holder):
            holder[last] = {}


def _child(holder: Any, key: str | int) -> Any:
    """Return what `holder` has at `key`, None where it has nothing there."""
    if isinstance(holder, dict):
        return holder.get(key)
    return holder[key] if isinstance(holder, list) and isinstance(key, int) and key < len(holder) else None
