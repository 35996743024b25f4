"""Take out of a document what its schema refused, so that the rest can be read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from jobkit.book.schema.gate import Doc
from jobkit.jobs.finding import Place


def pruned(doc: Doc, places: Iterable[Place]) -> Doc:
    """Copy `doc` without the values at `places`; list entries stay where they were, so that indices still hold.

    A refused entry of an array of tables becomes an empty table. A refused item of a plain list takes the list with
    it, as half a list would read as a whole one.
    """
    copy = _copied(doc)
    for place in sorted(places, key=len, reverse=True):
        _remove(copy, place)
    return copy if isinstance(copy, dict) else {}


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(item) for key, item in value.items()}
    return [_copied(item) for item in value] if isinstance(value, list) else value


def _remove(doc: Doc, place: Place) -> None:
    holder: Any = doc
    for depth, key in enumerate(place[:-1]):
        holder = _child(holder, key)
        if holder is None:
            return
        if isinstance(holder, list) and not all(isinstance(item, dict) for item in holder):
            _remove(doc, place[: depth + 1])
            return
    last = place[-1] if place else None
    if isinstance(holder, dict):
        holder.pop(str(last), None)
    elif isinstance(holder, list) and isinstance(last, int) and last < len(holder):
        holder[last] = {}


def _child(holder: Any, key: str | int) -> Any:
    if isinstance(holder, dict):
        child = holder.get(key)
    else:
        child = holder[key] if isinstance(key, int) and key < len(holder) else None
    return child if isinstance(child, (dict, list)) else None
