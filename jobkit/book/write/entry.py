"""An entry as it is written into a job file: its keys in the order in which they are usually read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Any

from jobkit.book.edit import EditError, Value, append_entry, set_key
from jobkit.book.edit.proof import plain, same
from jobkit.book.schema.entry_keys import Key, all_keys
from jobkit.book.toml.outline import KeyPath
from jobkit.book.toml.parse import parse_text
from jobkit.jobs.entries import Photo, Reading
from jobkit.jobs.identity import IDENTITY
from jobkit.jobs.sorts import READINGS, Sort


def entry_of(sort: Sort, record: Any) -> dict[str, Value]:
    """Give a record as the entry that says it, its keys in the order of the schema; what is usual is left out."""
    usual = record._field_defaults
    return {
        key.name: _in_file(key, value)
        for key in all_keys("job", sort.path)
        if (value := sort.value(record, key.name)) != usual.get(sort.field_of(key.name))
    }


def reading_entry(reading: Reading) -> dict[str, Value]:
    """Give a reading as the entry that says it."""
    return entry_of(READINGS, reading)


def _in_file(key: Key, value: Any) -> Value:
    """Write a field as its key has it."""
    if key.form == "pairs":
        return {name: _in_file(key._replace(form=key.of), one) for name, one in value}
    if key.form == "numbers":
        by_name: dict[str, Value] = dict(value)
        return by_name.get("", by_name)
    write: Callable[[Any], Value] = _IN_FILE.get(key.form, _as_it_is)
    return write(value)


def _photo(photo: Photo) -> Value:
    return photo.file if photo.caption is None else {"file": photo.file, "caption": photo.caption}


def _as_it_is(value: Value) -> Value:
    return value


_IN_FILE: Mapping[str, Callable[[Any], Value]] = {
    "texts": list,
    "money": str,
    "unit price": str,
    "duration": str,
    "percentage": lambda rate: f"{rate:f} %",
    "quantity": lambda quantity: quantity.text,
    "photos": lambda photos: list(map(_photo, photos)),
    "quantities": lambda quantities: [one.text for one in quantities],
    "limit": lambda limit: limit.text,
}
"""How the forms are written that a record does not hold as the file does."""


def append_apart(text: str, table: str | KeyPath, entry: dict[str, Value]) -> str:
    """Append an entry; where one of the same identity is there, a second later, so that no merge takes them for one."""
    path = tuple(table.split(".")) if isinstance(table, str) else table
    keys = IDENTITY.get(tuple(str(name) for name in path), ())
    keys = keys if "at" in keys else tuple(entry)
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
        raise EditError("the entry was changed after it was written", "change it in an editor")
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
