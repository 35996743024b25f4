"""The outline of a file: its tables, each by what it is about."""

from __future__ import annotations

from collections.abc import Mapping

from lsprotocol.types import DocumentSymbol, SymbolKind

from jobkit.book.toml.outline import KeyPath, Section
from jobkit.editor.shown.open_file import OpenFile
from jobkit.units.errors import in_one_line

_TELLING = (
    "point",
    "did",
    "check",
    "run",
    "name",
    "part",
    "item",
    "rail",
    "rule",
    "for",
    "what",
    "text",
)
"""Keys that tell one entry of a table from the others, the most telling first."""
_FURTHER = ("kind", "value", "part", "item", "result", "stage", "minutes")


def symbols(file: OpenFile) -> list[DocumentSymbol]:
    """Return the tables of a file in their order, with what tells each from the others."""
    sections = [one for one in file.text.outline.sections if one.path]
    return [_symbol(file, one) for one in sections]


def _symbol(file: OpenFile, section: Section) -> DocumentSymbol:
    text = file.text
    end = max(section.start, section.end - 1)
    name = ".".join(str(one) for one in section.path if isinstance(one, str))
    values = _values(file, section.path)
    telling = next((str(values[key]) for key in _TELLING if key in values), "")
    further = [str(values[key]) for key in _FURTHER if key in values and str(values[key]) != telling]
    is_entry = isinstance(section.path[-1], int)
    return DocumentSymbol(
        name=in_one_line(f"{name} {telling}" if telling and is_entry else name),
        detail=in_one_line(", ".join(further[:3])) if is_entry else "",
        kind=SymbolKind.Array if is_entry else SymbolKind.Struct,
        range=text.range(section.start, end),
        selection_range=text.range(section.start, min(text.line_end(section.start), end)),
    )


def _values(file: OpenFile, path: KeyPath) -> Mapping[str, object]:
    """Return the plain values of a table, as far as the file can be read."""
    node: object = file.doc or {}
    for key in path:
        node = _inside(node, key)
    rows = node.items() if isinstance(node, Mapping) else ()
    return {key: value for key, value in rows if isinstance(value, str | int | float)}


def _inside(node: object, key: str | int) -> object:
    if isinstance(node, Mapping):
        return node.get(key)
    return node[key] if isinstance(node, list) and isinstance(key, int) and key < len(node) else None
