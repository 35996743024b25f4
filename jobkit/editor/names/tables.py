"""Which table of a file a place is in, as the schemas name it."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.book.schema.entry_keys import Key, all_keys
from jobkit.book.schema.schema_files import FILES


def schema_path(kind: str, names: Sequence[str]) -> tuple[str, ...] | None:
    """Return the path of a table in a schema, "*" for a name that is free; None where there is no such table."""
    if kind not in FILES:
        return None
    path: tuple[str, ...] = ()
    for name in names:
        longer = next((one for one in ((*path, name), (*path, "*")) if _is_table(kind, one)), None)
        if longer is None:
            return None
        path = longer
    return path


def keys_at(kind: str, names: Sequence[str]) -> tuple[Key, ...]:
    """Return the keys of a table; none where the schema knows no such table, or leaves its keys free."""
    path = schema_path(kind, names)
    return () if path is None else _keys(kind, path) or ()


def _is_table(kind: str, path: tuple[str, ...]) -> bool:
    """Tell whether the schema knows a table, or one that holds tables of free names, such as [item.NAME]."""
    return _keys(kind, path) is not None or _keys(kind, (*path, "*")) is not None


def _keys(kind: str, path: tuple[str, ...]) -> tuple[Key, ...] | None:
    try:
        return all_keys(kind, path)
    except (KeyError, TypeError, AttributeError):  # what the schema has there is no table
        return None
