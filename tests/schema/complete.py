"""One document of each kind of file that has every key of its schema, by the examples that the schema gives.

    complete("job")["reading"][0]["point"]      "VMEM"

`spoiled` yields it with another value in each of its places.
"""

import copy
from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

from tests.long_run import share
from tests.schema.schemas import Schema, resolved, schema

Path = tuple[str | int, ...]


def complete(kind: str) -> dict[str, Any]:
    """Give a document with every key; dates as ISO 8601 text, as the gate sees them."""
    whole = schema(kind)
    made: dict[str, Any] = _made(whole, whole)
    return made


def _made(part: Schema, whole: Schema) -> Any:
    rules = resolved(part, whole)
    if "properties" in rules:
        return {key: _made(inner, whole) for key, inner in rules["properties"].items()}
    if "items" in rules and "properties" in resolved(rules["items"], whole):
        return [_made(rules["items"], whole)]
    inner = rules.get("additionalProperties")
    if isinstance(inner, dict) and "properties" in resolved(inner, whole):
        return {key: _made(inner, whole) for key in part["examples"][0]}
    return copy.deepcopy(part["examples"][0])


def spoiled(doc: dict[str, Any], value: Any, of: int = 1, start: int = 0) -> Iterator[dict[str, Any]]:
    """Yield the document with `value` in the first place of every table at one depth, in the second of each, and so on.

    So each place is spoiled once while the rest of its table is sound, in few documents. The usual run gets one of so
    many of them, from `start` on.
    """
    tables: dict[int, list[list[Path]]] = {}
    for path, table in _tables(doc):
        tables.setdefault(len(path), []).append(_places(table, path))
    for places in tables.values():
        for row in share([*zip_longest(*places)], of, start):
            copied = copy.deepcopy(doc)
            for path in filter(None, row):
                _put(copied, path, value)
            yield copied


def _tables(doc: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    if isinstance(doc, dict | list):
        yield path, doc
        for key, inner in doc.items() if isinstance(doc, dict) else enumerate(doc):
            yield from _tables(inner, (*path, key))


def _places(table: Any, path: Path) -> list[Path]:
    return [(*path, key) for key in (table if isinstance(table, dict) else range(len(table)))]


def _put(doc: Any, path: Path, value: Any) -> None:
    for key in path[:-1]:
        doc = doc[key]
    doc[path[-1]] = copy.deepcopy(value)
