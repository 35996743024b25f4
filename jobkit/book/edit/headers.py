"""Headers rewritten: a table under another name, or in the other sort of brackets; what is beneath them stays."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from jobkit.book.edit.proof import Doc, look, proven, same
from jobkit.book.edit.written import EditError, dotted
from jobkit.book.toml.outline import KeyPath, Outline, Section, outline
from jobkit.book.toml.parse import parse_text

_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\[^\n])*"|'[^'\n]*'""")
_IN_EDITOR = "change it in an editor"


def rename_table(text: str, path: KeyPath, name: str) -> str:
    """Give a table, or all entries of a list of tables, another name in every header.

    Entries join those that the list of that name has already, in the order of the file.
    """
    doc, found = parse_text(text), outline(text)
    keys = [key_in_header(text, section, _depth(path)) for section in _sections(found, path)]
    places = [one for one in keys if one]
    if not places:
        raise EditError(f"{dotted(path)} has no header in this file", _IN_EDITOR)
    new = _with(text, ((start, end, dotted((name,))) for start, end in places))
    return proven(text, new, path, _renamed(doc, parse_text(new), path, name))


def rebracket(text: str, path: KeyPath, *, listed: bool) -> str:
    """Write the one header of a table in double brackets where it is `listed`, else in single ones."""
    sections = [one for one in outline(text).sections if one.path in {path, (*path, 0)}]
    if len(sections) != 1:
        raise EditError(f"{dotted(path)} has not just one header in this file", _IN_EDITOR)
    section = sections[0]
    head = text[section.start : section.head_end]
    opens, closes = ("[[", "]]") if listed else ("[", "]")
    written = re.sub(r"^([ \t]*)\[+(.*?)\]+", rf"\1{opens}\2{closes}", head, count=1)

    def change(wanted: Doc) -> None:
        table = look(wanted, path[:-1])
        table[path[-1]] = [table[path[-1]]] if listed else table[path[-1]][0]

    return proven(text, text[: section.start] + written + text[section.head_end :], path, change)


def key_in_header(text: str, section: Section, depth: int) -> tuple[int, int] | None:
    """Return where the name of a header is that has `depth` names before it; None in a header with fewer."""
    keys = list(_KEY.finditer(text, section.start, section.head_end))
    return keys[depth].span() if depth < len(keys) else None


def _renamed(old: Doc, new: Doc, path: KeyPath, name: str) -> Callable[[Doc], None]:
    """Return the change to expect; where entries join others, their order is taken from the new text."""
    table, after = look(old, path[:-1]), look(new, path[:-1])
    moved, there, joined = table[path[-1]], table.get(name), after.get(name)
    if there is not None and not _is_both(joined, moved, there):
        raise EditError(f"there is a {name} in this file already", _IN_EDITOR)

    def change(wanted: Doc) -> None:
        holder = look(wanted, path[:-1])
        del holder[path[-1]]
        holder[name] = moved if there is None else joined

    return change


def _is_both(joined: object, moved: object, there: object) -> bool:
    """Tell whether a list has the entries of two lists, and no others."""
    if not (isinstance(joined, list) and isinstance(moved, list) and isinstance(there, list)):
        return False
    left = [*moved, *there]
    for one in joined:
        at = next((at for at, other in enumerate(left) if same(one, other)), None)
        if at is None:
            return False
        del left[at]
    return not left


def _sections(found: Outline, path: KeyPath) -> Iterator[Section]:
    return (one for one in found.sections if one.path[: len(path)] == path)


def _depth(path: KeyPath) -> int:
    """Count the names in a path before its last."""
    return sum(isinstance(one, str) for one in path) - 1


def _with(text: str, edits: Iterator[tuple[int, int, str]]) -> str:
    pieces, done = [], 0
    for start, end, new in edits:
        pieces += [text[done:start], new]
        done = end
    return "".join((*pieces, text[done:]))
