"""Completion from the book: keys and headers, names, choices, units, days, and the next reading to take."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress

from lsprotocol.types import (
    CompletionItem,
    CompletionItemKind,
    CompletionItemLabelDetails,
    CompletionList,
    InsertTextFormat,
    Position,
    TextEdit,
)

from jobkit.book.edit.written import EditError, inside_quotes
from jobkit.book.schema.entry_keys import BESIDE, Key, all_keys
from jobkit.editor.complete.names_known import known_balls, known_names
from jobkit.editor.complete.next_reading import next_readings
from jobkit.editor.complete.typed import Typed, typed_at
from jobkit.editor.names.named import role_of
from jobkit.editor.names.tables import keys_at
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.units.errors import in_one_line
from jobkit.units.kinds import KINDS, usual_units

_NUMBER = re.compile(r"^[ ]*[-−+]?[0-9][0-9.]*[ ]*")
_COMMON = {"capacitance": "µF", "inductance": "µH", "ripple": "mV"}
"""The unit that is offered first, where a bench seldom meets the unit without a prefix (common practice, no source)."""
_SEVERAL = frozenset(("tables", "history"))


def completion(
    file: OpenFile, book: BookInEditor, position: Position, *, snippets: bool
) -> CompletionList | None:
    """Offer what may be written at a position; `snippets` tells whether the editor knows places to fill in."""
    typed = typed_at(file.text, file.text.offset(position))
    if typed is None:
        return None
    if typed.what == "header":
        found = _headers(file, typed)
    elif typed.what == "key":
        found = _keys(file, book, typed, snippets=snippets)
    else:
        found = _values(file, book, typed)
    items = list(found)
    for at, item in enumerate(items):
        item.sort_text = f"{at:05}"
    return CompletionList(is_incomplete=False, items=items)


def _headers(file: OpenFile, typed: Typed) -> Iterator[CompletionItem]:
    start = file.text.text.rfind("\n", 0, typed.start) + 1
    end = typed.end
    while file.text.text[end : end + 1] == "]":
        end += 1
    where, opened = file.text.range(start, end), file.text.text[start : typed.start]
    for path, key in _tables(file.kind):
        name = ".".join(path)
        header = f"[[{name}]]" if key.form in _SEVERAL else f"[{name}]"
        # A filter only where it is needed: some clients place what has one by their own idea of a word.
        is_begun = header.startswith(opened)
        yield CompletionItem(
            header, kind=CompletionItemKind.Struct, documentation=key.about, text_edit=TextEdit(where, header),
            filter_text=None if is_begun else opened + name,
        )  # fmt: skip


def _tables(kind: str, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Key]]:
    for key in all_keys(kind, path):
        if key.form in {"table", "tables", "history"}:
            yield (*path, key.name), key
            yield from _tables(kind, (*path, key.name))


def _keys(file: OpenFile, book: BookInEditor, typed: Typed, *, snippets: bool) -> Iterator[CompletionItem]:
    """Offer the keys that the table lacks, those it needs first; then the next readings as whole entries."""
    there = {path[-1] for path in file.text.outline.spans if _is_in(path, file, typed)}
    where = file.text.range(typed.start, typed.end)
    free = [
        key for key in keys_at(file.kind, typed.table) if key.name not in there or _is_typed(file, typed, key)
    ]
    for key in sorted(free, key=lambda one: not one.required):
        if key.form in {"table", "tables"}:
            continue
        yield CompletionItem(
            key.name, kind=CompletionItemKind.Property, documentation=key.about, detail=key.example or None,
            text_edit=TextEdit(where, f"{key.name} = "),
        )  # fmt: skip
    if file.job:
        for title, block in next_readings(file.job, book, snippets=snippets):
            yield CompletionItem(
                in_one_line(title), kind=CompletionItemKind.Snippet, detail="proof policy",
                text_edit=TextEdit(where, block),
                insert_text_format=InsertTextFormat.Snippet if snippets else InsertTextFormat.PlainText,
                filter_text="reading [[reading]]",
            )  # fmt: skip


def _is_in(path: tuple[str | int, ...], file: OpenFile, typed: Typed) -> bool:
    return path[:-1] == file.text.section_at(typed.start).path


def _is_typed(file: OpenFile, typed: Typed, key: Key) -> bool:
    return file.text.text[typed.start : typed.end] == key.name


def _values(file: OpenFile, book: BookInEditor, typed: Typed) -> Iterator[CompletionItem]:
    key = next((one for one in keys_at(file.kind, typed.table) if one.name == typed.key), None)
    role = role_of(file.kind, (*typed.table, typed.key))
    if key and key.choices:
        for choice in key.choices:
            yield from _item(file, typed, choice, "", CompletionItemKind.EnumMember)
    elif (*typed.table, typed.key) == ("pad", "ball"):
        for ball in known_balls(_beside(file, typed, "part"), file, book):
            yield from _item(file, typed, ball.name, ball.what, CompletionItemKind.Value)
    elif role:
        for known in known_names(role, file, book):
            yield from _item(file, typed, known.name, known.what, CompletionItemKind.Value)
    elif key and key.form in {"quantity", "quantities"}:
        yield from _units(file, typed, key)
    elif key and key.form in {"day", "moment", "flag"} and not typed.quote:
        yield from _plain(file, book, typed, key.form)


def _units(file: OpenFile, typed: Typed, key: Key) -> Iterator[CompletionItem]:
    """Offer the number that is typed with each unit of its kind, or of every kind where that is not said yet."""
    kind = _beside(file, typed, "kind") if key.kind == BESIDE else key.kind
    number = _NUMBER.match(file.text.text[typed.start : typed.end])
    if number is None:
        return
    kinds: dict[str, list[str]] = {}
    for one in KINDS if not kind else [kind] if kind in KINDS else []:
        common = _COMMON.get(one, KINDS[one].unit)
        for unit in sorted(usual_units(one), key=lambda unit: unit != common):
            kinds.setdefault(unit, []).append(one)
    for unit, of in kinds.items():
        yield from _item(file, typed, f"{number[0].strip()} {unit}", ", ".join(of), CompletionItemKind.Unit)


def _beside(file: OpenFile, typed: Typed, key: str) -> str:
    """Return the text of another key of the same entry, "" where it has none."""
    span = file.text.outline.spans.get((*file.text.section_at(typed.start).path, key))
    value = file.text.value(span) if span else None
    return value if isinstance(value, str) else ""


def _plain(file: OpenFile, book: BookInEditor, typed: Typed, form: str) -> Iterator[CompletionItem]:
    now = book.now(book.book())
    words = {"day": [now.date().isoformat()], "moment": [now.isoformat()], "flag": ["true", "false"]}[form]
    where = file.text.range(typed.start, typed.end)
    for word in words:
        yield CompletionItem(word, kind=CompletionItemKind.Value, text_edit=TextEdit(where, word))


def _item(
    file: OpenFile, typed: Typed, name: str, what: str, kind: CompletionItemKind
) -> Iterator[CompletionItem]:
    """Offer a text, with the quotation marks that are missing; not one that those which are there cannot hold."""
    quote = typed.quote or '"'
    with suppress(EditError):
        new = f"{'' if typed.quote else quote}{inside_quotes(name, quote)}{'' if typed.is_closed else quote}"
        told = in_one_line(what)
        yield CompletionItem(
            in_one_line(name),
            kind=kind,
            label_details=CompletionItemLabelDetails(description=told) if told else None,
            detail=told or None,
            text_edit=TextEdit(file.text.range(typed.start, typed.end), new),
        )
