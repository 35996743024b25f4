"""Older files brought to the current format, step by step; remarks and layout stay.

A step takes a file from one format to the next. Format 0 was never released: it keeps the mechanism honest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jobkit.book.edit import rename_keys, set_key
from jobkit.book.read.load import FORMAT
from jobkit.book.toml.outline import KeyPath
from jobkit.book.toml.parse import parse_text
from jobkit.units.errors import MisuseError

_RENAMED: Mapping[int, Mapping[str, Mapping[tuple[str, ...], str]]] = {
    0: {
        "job": {("owner",): "client", ("board", "shelf"): "place", ("reading", "when"): "stage"},
        "bench": {("bench", "prefix"): "letter"},
    },
}
"""By the format that a step starts from and the kind of file: keys that have another name since."""


class NewerFormatError(MisuseError):
    """A file has a format that this jobkit does not know yet."""


def upgraded(kind: str, text: str, path: str) -> str:
    """Bring the text of a file to the current format; one without a format, or with the current one, stays as it is.

    Raises TomlError where it is not TOML, NewerFormatError, and EditError where a key cannot be renamed in place.
    """
    at = format_of(parse_text(text))
    if at is not None and at > FORMAT:
        raise NewerFormatError(
            f"{path} has format {at}, this jobkit reads formats up to {FORMAT}", "upgrade jobkit"
        )
    while at is not None and at < FORMAT:
        for names, new in _RENAMED[at].get(kind, {}).items():
            text = rename_keys(text, list(_places(parse_text(text), names)), new)
        at += 1
        text = set_key(text, ("format",), at)
    return text


def format_of(doc: dict[str, Any]) -> int | None:
    """Read the format of a file; None where it has none that can be read."""
    found = doc.get("format")
    return found if isinstance(found, int) and not isinstance(found, bool) and found >= 0 else None


def _places(node: Any, names: tuple[str, ...], path: KeyPath = ()) -> Iterator[KeyPath]:
    """Find a key by its names, in every entry of the lists on the way."""
    if isinstance(node, list):
        for place, row in enumerate(node):
            yield from _places(row, names, (*path, place))
    elif isinstance(node, dict) and names[0] in node:
        if len(names) == 1:
            yield (*path, names[0])
        else:
            yield from _places(node[names[0]], names[1:], (*path, names[0]))
