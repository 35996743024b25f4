"""Edits of TOML text: pure functions, text in, text out.

What was not to change stays byte for byte: remarks, order, layout, line ends, a byte order mark, a missing final
newline. So an edit is a splice at a place that the outline tells, and not a document taken apart and put together
again: tomlkit keeps most of a layout, but not all of it, and takes 8 ms a file. It writes what is new (`written`).
After each edit both texts are parsed, and only the wanted change may differ.

All functions raise `TomlError` where the text is not TOML, `EditError` where the change cannot be made.
"""

import re
from collections.abc import Collection, Mapping
from functools import partial
from typing import Any

from jobkit.book.edit.places import block_end, family, place_for
from jobkit.book.edit.proof import append, drop, look, plain, proven, put, rename, same
from jobkit.book.edit.ranges import ranges_of
from jobkit.book.edit.splice import with_block, with_item, with_lines, without
from jobkit.book.edit.written import EditError, Value, block, dotted, pair, written
from jobkit.book.toml.outline import KeyPath, Outline, Section, outline
from jobkit.book.toml.parse import parse_text

__all__ = [
    "EditError",
    "Value",
    "append_entry",
    "remove_entry",
    "remove_key",
    "rename_keys",
    "replace_value",
    "set_key",
]

_INDENT = re.compile(r"[ \t]*")
_IN_EDITOR = "change it in an editor"


def append_entry(text: str, table: str | KeyPath, entry: Mapping[str, Value]) -> str:
    """Append an entry to a list of tables, its keys in the order given.

    The entry comes as a block behind the last one of `table`, or where the usual order of tables wants the first. A
    `table` in words, such as `"point.limit"`, means the list within the last `point`; a path tells which one.
    """
    doc, found = parse_text(text), outline(text)
    path = _list_path(doc, table)
    there = look(doc, path)
    if there is None:
        new = _first_entry(text, doc, found, path, entry)
    elif not isinstance(there, list):
        raise EditError(
            f"{dotted(path)} is not a list of tables here", f"write its header as [[{dotted(path)}]]"
        )
    elif found.spans[path].form == "value":
        new = with_item(text, found, path, written(entry))
    else:
        last = family(found, (*path, len(there) - 1))[-1]
        new = _with_block(text, found, block_end(text, found, last), path, entry, listed=True)
    return proven(text, new, path, partial(append, path=path, entry=entry))


def set_key(text: str, path: KeyPath, value: Value) -> str:
    """Set the value of a key; write the key, and the table it is in, where they are missing.

    A table that comes to be at the top of the document gets a header; elsewhere it is written in braces.
    """
    doc, found = parse_text(text), outline(text)
    if path in found.spans:
        return replace_value(text, path, value)
    new = _with_key(text, found, path, _ancestor(doc, found, path), value)
    return proven(text, new, path, partial(put, path=path, value=value))


def replace_value(text: str, path: KeyPath, value: Value) -> str:
    """Replace the value of a key that is there; one that says the same already stays as it is written."""
    doc, span = parse_text(text), outline(text).spans.get(path)
    if not span or span.form != "value":
        raise EditError(f"{dotted(path)} is not a single value in this file", _IN_EDITOR)
    if same(look(doc, path), plain(value)):
        return text
    new = text[: span.start] + written(value) + text[span.end :]
    return proven(text, new, path, partial(put, path=path, value=value))


def remove_entry(text: str, table: str | KeyPath, index: int) -> str:
    """Take an entry out of a list of tables, with the tables in it, its remarks and the blank line before it.

    A negative index counts from the end. Taking out a block that `append_entry` wrote gives the text from before.
    """
    doc = parse_text(text)
    path = _list_path(doc, table)
    there = look(doc, path)
    if not isinstance(there, list) or not -len(there) <= index < len(there):
        raise EditError(
            f"there is no such entry of {dotted(path)} in this file", "check the content of the file"
        )
    return remove_key(text, (*path, index % len(there)))


def remove_key(text: str, path: KeyPath) -> str:
    """Take out a key with its line, an item of a list, or a table with its block."""
    found = outline(text)
    if look(parse_text(text), path) is None:
        raise EditError(f"there is no {dotted(path)} in this file", "check the content of the file")
    new = without(text, ranges_of(text, found, path))
    return proven(text, new, path, partial(drop, path=path), emptied=True)


def rename_keys(text: str, paths: Collection[KeyPath], name: str) -> str:
    """Give keys that are written with a value another name, all at once; values, remarks and layout stay."""
    doc, spans = parse_text(text), outline(text).spans
    for path in paths:
        if path not in spans or spans[path].form != "value" or look(doc, (*path[:-1], name)) is not None:
            raise EditError(f"{dotted(path)} cannot be named {name} in this file", _IN_EDITOR)
    pieces, done = [], 0
    for span in sorted(spans[path] for path in paths):
        pieces += [text[done : span.key_start], dotted((name,))]
        done = span.key_end

    def renamed(doc: dict[str, Any]) -> None:
        for path in paths:
            rename(doc, path, name)

    return proven(text, "".join([*pieces, text[done:]]), next(iter(paths), ()), renamed)


def _list_path(doc: dict[str, Any], table: str | KeyPath) -> KeyPath:
    """Return the path of a list of tables; a list on the way to it is entered at its last entry."""
    if not isinstance(table, str):
        return table
    path: KeyPath = ()
    for name in table.split("."):
        there = look(doc, path)
        path = (*path, len(there) - 1, name) if isinstance(there, list) and there else (*path, name)
    return path


def _ancestor(doc: dict[str, Any], found: Outline, path: KeyPath) -> KeyPath:
    """Return the longest beginning of `path` that exists; raise `EditError` where the rest cannot be made in it."""
    length = max(len(path) - 1, 0)
    while length and path[:length] not in found.spans:
        length -= 1
    missing = path[length:]
    if (
        not isinstance(look(doc, path[:length]), dict)
        or not missing
        or not all(isinstance(key, str) for key in missing)
    ):
        raise EditError(f"there is no place for {dotted(path)} in this file", _IN_EDITOR)
    return path[:length]


def _form(found: Outline, path: KeyPath) -> str:
    return found.spans[path].form if path else "header"


def _first_entry(
    text: str, doc: dict[str, Any], found: Outline, path: KeyPath, entry: Mapping[str, Value]
) -> str:
    ancestor = _ancestor(doc, found, path)
    if _form(found, ancestor) != "header":
        return _with_key(text, found, path, ancestor, [entry])
    return _with_block(text, found, place_for(text, found, path), path, entry, listed=True)


def _with_key(text: str, found: Outline, path: KeyPath, ancestor: KeyPath, value: Value) -> str:
    """Write a key that is missing in the form in which its nearest ancestor that exists is written."""
    missing = [str(key) for key in path[len(ancestor) :]]
    form = _form(found, ancestor)
    if form == "value":
        return with_item(text, found, ancestor, pair(missing[:1], _nested(missing[1:], value)))
    if form == "dotted":
        return _with_line(text, found, _section_naming(found, ancestor), path, value)
    own = next((section for section in found.sections if section.path == ancestor), None)
    if own is None or len(missing) > 1:
        path, value = path[:-1], {missing[-1]: value}
        return _with_block(text, found, place_for(text, found, path), path, value, listed=False)
    if isinstance(value, Mapping) and not ancestor:
        return _with_block(text, found, place_for(text, found, path), path, value, listed=False)
    return _with_line(text, found, own, path, value)


def _with_block(
    text: str, found: Outline, place: int, path: KeyPath, entry: Mapping[str, Value], *, listed: bool
) -> str:
    """Write a block; its equals signs are lined up where those of the block before it are."""
    before = [section for section in found.sections if section.end <= place and len(section.statements) > 1]
    lined_up = bool(before) and _key_width(text, found, before[-1]) > 0
    return with_block(text, place, block(path, entry, listed=listed, lined_up=lined_up))


def _nested(names: list[str], value: Value) -> Value:
    for name in reversed(names):
        value = {name: value}
    return value


def _section_naming(found: Outline, path: KeyPath) -> Section:
    """Return the section in which a dotted key names `path`."""
    return next(
        section
        for section in found.sections
        if any(statement.path[: len(path)] == path for statement in section.statements)
    )


def _with_line(text: str, found: Outline, section: Section, path: KeyPath, value: Value) -> str:
    """Write a key behind the last of its section; a dotted one behind the last that shares its beginning."""
    lines = section.statements
    near = [line for line in lines if line.path[: len(path) - 1] == path[:-1]] or lines
    place = near[-1].end if near else block_end(text, found, found.sections.index(section))
    indent = _indent(text, near[-1].start) if near else ""
    key = dotted(path[len(section.path) :]).ljust(_key_width(text, found, section))
    return with_lines(text, place, [f"{indent}{key} = {written(value)}"])


def _indent(text: str, start: int) -> str:
    indent = _INDENT.match(text, start)
    return indent[0] if indent else ""


def _key_width(text: str, found: Outline, section: Section) -> int:
    """Return how wide keys are written where a section lines its equals signs up, else 0."""
    starts = [line.start + len(_indent(text, line.start)) for line in section.statements]
    ends = [found.spans[line.path].key_end for line in section.statements]
    columns = {text.index("=", end) - start for start, end in zip(starts, ends, strict=True)}
    lengths = {end - start for start, end in zip(starts, ends, strict=True)}
    return columns.pop() - 1 if len(columns) == 1 and len(lengths) > 1 else 0
