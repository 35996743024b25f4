"""Find the JSON Schemas that came with jobkit, in a wheel or in a checkout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from jobkit.jobs.finding import Place

_PACKAGE = Path(__file__).parents[2]
_FOLDER = _PACKAGE / "schema" if (_PACKAGE / "schema").is_dir() else _PACKAGE.parent / "schema"

FILES = ("job", "board", "bench", "meters", "stock", "clients")
"""The kinds of file in a book that have a schema."""


def schema_path(kind: str) -> Path:
    """Name the file that holds the schema of a kind of file."""
    return _FOLDER / f"{kind}.schema.json"


@cache
def schema(kind: str) -> dict[str, Any]:
    """Read the schema of a kind of file; the answer is shared, so it must not be changed."""
    # Where documents are only held to the gate, nothing here reads a schema.
    import json  # noqa: PLC0415

    loaded: dict[str, Any] = json.loads(schema_path(kind).read_bytes())
    return loaded


def reference(part: Mapping[str, Any]) -> str:
    """Name the definition that a part refers to; "" where it refers to none."""
    return str(part.get("$ref", "")).rpartition("/")[2]


def conditions(part: Mapping[str, Any]) -> Sequence[Mapping[str, Any]]:
    """Return the conditions of a table, each with its `if` and `then`; several are together below one `then`."""
    if "if" not in part:
        return ()
    several: Sequence[Mapping[str, Any]] = part["then"].get("allOf", ())
    return several or (part,)


def resolved(kind: str, part: Mapping[str, Any]) -> Mapping[str, Any]:
    """Follow the reference of a part of the schema of `kind`; a part without one is given back."""
    name = reference(part)
    return schema(kind)["$defs"][name] if name else part


def rules_at(kind: str, place: Place) -> Mapping[str, Any]:
    """Return what the schema of `kind` says of a place in a document; nothing where it knows no such place."""
    rules: Mapping[str, Any] = schema(kind)
    for key in place:
        inner = rules.get("items") if isinstance(key, int) else rules.get("properties", {}).get(key)
        inner = inner or rules.get("additionalProperties")
        rules = resolved(kind, inner) if isinstance(inner, Mapping) else {}
    return rules
