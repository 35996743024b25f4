"""Rename a design, a point, a rail, an item or a meter across the book, in open and saved files alike."""

from __future__ import annotations

import re
from collections.abc import Container, Mapping

from lsprotocol.types import (
    OptionalVersionedTextDocumentIdentifier,
    Position,
    Range,
    RenameFile,
    TextDocumentEdit,
    TextEdit,
    WorkspaceEdit,
)

from jobkit.editor.hover_boards import design_of
from jobkit.editor.named import Named, Role, name_at
from jobkit.editor.open_book import BookInEditor
from jobkit.editor.open_file import OpenFile
from jobkit.editor.places import name_ends
from jobkit.editor.references import mentions
from jobkit.units.errors import MisuseError

_RENAMED: frozenset[Role] = frozenset(("design", "point", "rail", "part", "item", "meter"))
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_FILE_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")


class RenameError(MisuseError):
    """What is under the cursor cannot be renamed so."""


def renameable(file: OpenFile, position: Position) -> Range | None:
    """Return the name at a position that can be renamed; None where there is none."""
    named = name_at(file, file.text.offset(position))
    return file.text.range(*name_ends(file, named)) if named and named.role in _RENAMED else None


def rename(file: OpenFile, book: BookInEditor, position: Position, new: str) -> tuple[WorkspaceEdit, int]:
    """Return the edits that rename what is named at a position, and how many jobs that were sent they change.

    Raises RenameError.
    """
    named = name_at(file, file.text.offset(position))
    if named is None or named.role not in _RENAMED:
        raise RenameError(
            "only designs, points, rails, parts, items and meters are renamed", "put the cursor on one"
        )
    _check(named, new, file, book)
    edits: dict[str, tuple[OpenFile, list[TextEdit]]] = {}
    shared = _is_shared(named, file, book)
    for other, one in mentions(named, file, book):
        if shared and other.kind == "bench":
            continue
        start, end = name_ends(other, one)
        edits.setdefault(other.path, (other, []))[1].append(
            TextEdit(other.text.range(start, end), _written(other, start, new))
        )
    return _workspace_edit(named, edits, book, new), _sent(edits)


def _is_shared(named: Named, file: OpenFile, book: BookInEditor) -> bool:
    """Tell whether other designs have a point of the same name: then the proof policy goes on asking for that."""
    bench = book.book().bench
    own = design_of(file, bench)
    return named.role == "point" and any(
        named.name in one.point_names for one in bench.designs.values() if own is None or one.path != own.path
    )


def _check(named: Named, new: str, file: OpenFile, book: BookInEditor) -> None:
    if not new or new != new.strip() or not new.isprintable() or '"' in new or "\\" in new:
        raise RenameError(f'"{new}" is not a name', "use letters, digits and hyphens")
    if named.role == "design" and not _FILE_NAME.fullmatch(new):
        raise RenameError(
            f'"{new}" cannot be the name of a board file', "use letters, digits, dots and hyphens"
        )
    bench = book.book().bench
    design = design_of(file, bench)
    taken: dict[Role, Container[str]] = {
        "design": bench.designs,
        "item": bench.stock,
        "meter": bench.meters,
        "point": design.point_names if design else (),
        "rail": design.rail_names if design else (),
    }
    if new in taken.get(named.role, ()):
        raise RenameError(f"there is a {named.role} {new} already", "choose another name")


def _written(file: OpenFile, start: int, new: str) -> str:
    """Write the new name where the old one was: a bare key that is no bare key any more gets its quotation marks."""
    quoted = file.text.text[start - 1 : start] in ('"', "'")
    return new if quoted or _BARE.fullmatch(new) else f'"{new}"'


def _sent(edits: Mapping[str, tuple[OpenFile, list[TextEdit]]]) -> int:
    return sum(bool(file.job and file.job.dates.sent) for file, _ in edits.values())


def _workspace_edit(
    named: Named, edits: Mapping[str, tuple[OpenFile, list[TextEdit]]], book: BookInEditor, new: str
) -> WorkspaceEdit:
    changes: list[TextDocumentEdit | RenameFile] = [
        TextDocumentEdit(
            OptionalVersionedTextDocumentIdentifier(file.place.as_uri(), file.version), list(some)
        )
        for file, some in edits.values()
    ]
    old = f"boards/{named.name}.toml"
    if named.role == "design" and book.overlay().holds(old):
        changes.append(RenameFile((book.root / old).as_uri(), (book.root / f"boards/{new}.toml").as_uri()))
    return WorkspaceEdit(document_changes=changes)
