"""An entry as it is written into a job file: its keys in the order in which they are usually read."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from jobkit.book.edit import EditError, Value, append_entry, set_key
from jobkit.book.edit.proof import plain, same
from jobkit.book.toml.outline import KeyPath
from jobkit.book.toml.parse import parse_text
from jobkit.jobs.entries import Reading
from jobkit.jobs.identity import IDENTITY


def reading_entry(reading: Reading) -> dict[str, Value]:
    """Give a reading as the table that says it; what is by habit is left out."""
    whole: dict[str, Value | None] = {
        "at": reading.at,
        "by": reading.by,
        "stage": reading.stage,
        "point": reading.point,
        "kind": reading.kind,
        "value": reading.value and reading.value.text,
        "limit": reading.limit and reading.limit.text,
        "state": reading.state,
        "meter": reading.meter,
        "range": reading.range,
        "four_wire": reading.four_wire or None,
        "to": reading.to,
        "red_on": reading.red_on,
        "removed": list(reading.removed) or None,
        "settled": None if reading.settled else False,
        "like": reading.like,
        "note": reading.note,
    }
    return {key: value for key, value in whole.items() if value is not None}


def append_apart(text: str, table: str | KeyPath, entry: dict[str, Value]) -> str:
    """Append an entry; where one of the same identity is there, a second later, so that no merge takes them for one."""
    path = tuple(table.split(".")) if isinstance(table, str) else table
    keys = IDENTITY.get(tuple(str(name) for name in path), tuple(entry))
    there = [_identity(row, keys) for row in rows_of(parse_text(text), path)]
    at = entry.get("at")
    while isinstance(at, datetime) and _identity({**entry, "at": at}, keys) in there:
        at += timedelta(seconds=1)
    return append_entry(text, table, {**entry, "at": at} if isinstance(at, datetime) else entry)


def correct(text: str, table: str, was: dict[str, Value], entry: dict[str, Value]) -> str:
    """Write an entry in the place of one that was written before, keeping that one's layout.

    Raises EditError where it is no longer there as it was, or has keys that the new one lacks.
    """
    rows = rows_of(parse_text(text), (table,))
    place = next((place for place in range(len(rows) - 1, -1, -1) if same(rows[place], plain(was))), None)
    if place is None or was.keys() - entry.keys():
        raise EditError("what was written has been changed since", "change it in an editor")
    for key, value in entry.items():
        text = set_key(text, (table, place, key), value)
    return text


def _identity(row: dict[str, Any], keys: tuple[str, ...]) -> tuple[Any, ...]:
    return tuple(row.get(key) for key in keys)


def rows_of(doc: dict[str, Any], path: KeyPath) -> list[dict[str, Any]]:
    """Give the entries of a list of tables, none where there is no such list."""
    node: Any = doc
    for name in path:
        node = node.get(name, {}) if isinstance(node, dict) else {}
    return [row for row in node if isinstance(row, dict)] if isinstance(node, list) else []
