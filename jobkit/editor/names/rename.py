"""Rename a design, a point, a rail, a channel, a part, an item or a meter across the book, open and saved files alike.

A name that bench.toml asks for on every board of a kind is renamed on all designs of that kind, or else none of the
others could be released. A job that was sent gets its [[amended]] along with the new name. The whole rename is refused
where it cannot be made in one of the files.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from lsprotocol.types import (
    AnnotatedTextEdit,
    OptionalVersionedTextDocumentIdentifier,
    Position,
    Range,
    RenameFile,
    SnippetTextEdit,
    TextDocumentEdit,
    TextEdit,
    WorkspaceEdit,
)

from jobkit.editor.names.designs import Named, design_name, is_name, name_at
from jobkit.editor.names.named import Role
from jobkit.editor.names.places import file_of
from jobkit.editor.names.references import mentions
from jobkit.editor.names.renamed_file import RenamedFile, renamed_file
from jobkit.editor.names.scope import Scope, designs_in, kinds_that_name, of_kind, scope_of
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.bench import Bench
from jobkit.named_tuple import NamedTuple
from jobkit.pages.words import counted
from jobkit.units.errors import MisuseError

_RENAMED: frozenset[Role] = frozenset(("design", "point", "rail", "channel", "part", "item", "meter"))
_FILE_NAME = re.compile(r"[a-z0-9][a-z0-9._-]*")


class RenameError(MisuseError):
    """What is under the cursor cannot be renamed so."""


class Rename(NamedTuple):
    """The edits of a rename, the other designs that it changes, and how many jobs it amends."""

    edit: WorkspaceEdit
    also: tuple[str, ...] = ()
    amended: int = 0

    @property
    def told(self) -> str:
        """What to tell the person beyond what they asked for; "" for nothing."""
        also = f"also on {', '.join(self.also)}, for bench.toml asks for it on every board of the kind"
        amended = f"{counted(self.amended, 'sent job')} got [[amended]] with the reason"
        return "; ".join((*([also] if self.also else ()), *([amended] if self.amended else ())))


def renameable(file: OpenFile, book: BookInEditor, position: Position) -> Range | None:
    """Return the name at a position that can be renamed; None where there is none."""
    named = name_at(file, book.book().bench, file.text.offset(position))
    return file.text.range(named.start, named.end) if named and named.role in _RENAMED else None


def rename(
    file: OpenFile, book: BookInEditor, position: Position, new: str, *, moves_files: bool = True
) -> Rename:
    """Return the edits that rename what is named at a position; `moves_files` tells whether the editor can do that.

    Raises RenameError.
    """
    bench = book.book().bench
    named = name_at(file, bench, file.text.offset(position))
    if named is None or named.role not in _RENAMED:
        raise RenameError(
            "only designs, points, rails, channels, parts, items and meters are renamed",
            "put the cursor on one",
        )
    if named.role == "design" and not moves_files:
        raise RenameError(
            "your editor does not rename files",
            f"rename boards/{named.name}.toml and correct what lint finds",
        )
    scope = _scope(named, file, book, bench)
    _check(named, new, scope, bench)
    files = list(_renamed(named, new, scope, book))
    own = design_name(file) if file.kind in {"job", "board"} else ""
    return _answer(named, new, files, book)._replace(also=_also(files, own, scope))


def _scope(named: Named, file: OpenFile, book: BookInEditor, bench: Bench) -> Scope | None:
    """Return the scope of a rename: the kind of board where bench.toml asks for the name, else the design."""
    scope = scope_of(named, file, bench)
    if scope is None or scope.only:
        return scope
    wide = kinds_that_name(named, file_of(book, "bench.toml"), bench) & scope.policies
    return of_kind(next(iter(wide)), bench) if wide else scope


def _check(named: Named, new: str, scope: Scope | None, bench: Bench) -> None:
    if not new or new != new.strip() or not new.isprintable() or '"' in new or "\\" in new:
        raise RenameError(f'"{new}" is not a name', "use letters, digits and hyphens")
    if named.role == "design" and not _FILE_NAME.fullmatch(new):
        raise RenameError(
            f'"{new}" cannot be the name of a board file',
            "use lower-case letters, digits, hyphens, dots and underscores",
        )
    if is_name(named.role, new, designs_in(scope, bench), bench):
        raise RenameError(f"there is a {named.role} {new} already", "choose another name")


def _renamed(named: Named, new: str, scope: Scope | None, book: BookInEditor) -> Iterable[RenamedFile]:
    writer = book.writer()
    for other, places in mentions(named, scope, book):
        _check_logs(named, other)
        try:
            yield renamed_file(other, places, new, writer)
        except MisuseError as misuse:
            raise RenameError(f"{other.path} cannot be changed: {misuse.message}", misuse.mend) from misuse


def _check_logs(named: Named, file: OpenFile) -> None:
    """Refuse to rename a channel that a log of a memory test has: a log stays as the test wrote it."""
    for seen in file.job.seen if named.role == "channel" and file.job else ():
        if seen.log and named.name in {*seen.passed, *seen.failed}:
            raise RenameError(
                f"the log {seen.log} of {file.path} has the channel {named.name}",
                "keep the names of the memory test: a log is not rewritten",
            )


def _answer(named: Named, new: str, files: list[RenamedFile], book: BookInEditor) -> Rename:
    changes: list[TextDocumentEdit | RenameFile] = [
        TextDocumentEdit(
            OptionalVersionedTextDocumentIdentifier(one.file.place.as_uri(), one.file.version), _edits(one)
        )
        for one in files
    ]
    old = f"boards/{named.name}.toml"
    if named.role == "design" and book.overlay().holds(old):
        changes.append(RenameFile((book.root / old).as_uri(), (book.root / f"boards/{new}.toml").as_uri()))
    return Rename(WorkspaceEdit(document_changes=changes), (), sum(one.is_amended for one in files))


def _also(files: list[RenamedFile], own: str, scope: Scope | None) -> tuple[str, ...]:
    """Name the designs that a rename changes because bench.toml asks for the name on every board of the kind."""
    if scope is None or not scope.kinds:
        return ()
    return tuple(
        design_name(one.file) for one in files if one.file.kind == "board" and design_name(one.file) != own
    )


def _edits(one: RenamedFile) -> list[TextEdit | AnnotatedTextEdit | SnippetTextEdit]:
    return [TextEdit(one.file.text.range(start, end), new) for start, end, new in one.splices]
