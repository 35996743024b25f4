"""Proof of an edit: both texts are parsed, and only the wanted change may differ."""

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from jobkit.book.edit.written import EditError, Value, dotted
from jobkit.book.toml.outline import KeyPath
from jobkit.book.toml.parse import TomlError, parse_text

Doc = dict[str, Any]


def proven(old: str, new: str, path: KeyPath, change: Callable[[Doc], None], *, emptied: bool = False) -> str:
    """Return `new` if it says what `old` says after `change`; else raise `EditError`, and nothing is lost.

    With `emptied`, a table or list on the way to `path` may be empty in one and missing in the other: where the
    last entry of a `[[table]]` goes, nothing of the table is left.
    """
    wanted = parse_text(old)
    change(wanted)
    try:
        got = parse_text(new)
    except TomlError:
        raise _failed(path) from None
    if emptied:
        _prune(got, path)
        _prune(wanted, path)
    if not same(got, wanted):
        raise _failed(path)
    return new


def put(doc: Doc, path: KeyPath, value: Value) -> None:
    """Set the value at `path`; tables that are missing on the way come to be."""
    _table(doc, path[:-1])[path[-1]] = plain(value)


def append(doc: Doc, path: KeyPath, entry: Mapping[str, Value]) -> None:
    """Append an entry to the list at `path`."""
    if look(doc, path) is None:
        put(doc, path, [])
    look(doc, path).append(plain(entry))


def drop(doc: Doc, path: KeyPath) -> None:
    """Take out what is at `path`."""
    del _table(doc, path[:-1])[path[-1]]


def rename(doc: Doc, path: KeyPath, name: str) -> None:
    """Give the key at `path` another name."""
    table = _table(doc, path[:-1])
    table[name] = table.pop(path[-1])


def look(doc: Doc, path: KeyPath) -> Any:
    """Return what is at `path`, None where nothing does."""
    node: Any = doc
    for key in path:
        try:
            node = node[key]
        except (KeyError, IndexError, TypeError):
            return None
    return node


def plain(value: Value) -> Any:
    """Return a value as the parser gives it back."""
    if isinstance(value, Mapping):
        return {name: plain(inner) for name, inner in value.items()}
    if isinstance(value, Decimal):
        return float(value) if "." in f"{value:f}" else int(value)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plain(inner) for inner in value]
    return value


def same(one: object, other: object) -> bool:
    """Tell whether two values are the same, kinds included: `1`, `1.0` and `true` differ, `nan` is `nan`."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return one == other or (one != one and other != other)  # noqa: PLR0124 - only nan differs from itself


def _table(doc: Doc, path: KeyPath) -> Any:
    node: Any = doc
    for key in path:
        node = node.setdefault(key, {}) if isinstance(node, dict) else node[key]
    return node


def _prune(doc: Doc, path: KeyPath) -> None:
    for length in range(len(path), 0, -1):
        if look(doc, path[:length]) in ({}, []):
            drop(doc, path[:length])


def _failed(path: KeyPath) -> EditError:
    return EditError(
        f"{dotted(path)} cannot be changed in this file without touching the rest", "change it in an editor"
    )
