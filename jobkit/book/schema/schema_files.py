"""Find the JSON Schemas that came with jobkit, in a wheel or in a checkout."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

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
