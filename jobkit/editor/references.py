"""All places of the book that name the same thing: the jobs that used an item, read a point, are of a client."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol.types import Location, Position

from jobkit.editor.named import Named, Role, name_at, names_in
from jobkit.editor.open_book import BookInEditor
from jobkit.editor.open_file import OpenFile
from jobkit.editor.places import location

_OF_DESIGN = frozenset(("point", "part", "rail", "channel", "check", "cause"))
"""Names that mean something within one design only."""
_ALIKE: dict[Role, frozenset[Role]] = {
    "job": frozenset(("job", "source")),
    "source": frozenset(("job", "source")),
}


def references(file: OpenFile, book: BookInEditor, position: Position) -> list[Location]:
    """Return every place that names what is named at a position, in the order of the files."""
    named = name_at(file, file.text.offset(position))
    if named is None:
        return []
    return [location(other, one) for other, one in mentions(named, file, book)]


def mentions(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[tuple[OpenFile, Named]]:
    """Yield each place that names the same thing as `named` in `file`, with its file."""
    roles = _ALIKE.get(named.role, frozenset((named.role,)))
    design = design_name(file) if named.role in _OF_DESIGN else None
    for other in _files_with(named.name, book):
        if design is not None and design_name(other) not in {design, None}:
            continue
        for one in names_in(other):
            if one.role in roles and one.name == named.name:
                yield other, one


def design_name(file: OpenFile) -> str | None:
    """Return the name of the design that a file is about; None for one that is about no design."""
    if file.kind == "board":
        return file.path.rpartition("/")[2].removesuffix(".toml")
    if file.kind != "job":
        return None
    board = (file.doc or {}).get("board")
    return str(board.get("design", "")) if isinstance(board, dict) else ""


def _files_with(name: str, book: BookInEditor) -> Iterator[OpenFile]:
    """Yield the files of the book whose text has a name: the bench's own, then the jobs."""
    shelf = book.overlay()
    own = [path for path in shelf.own_paths() if not path.startswith("private/")]
    for path, content in shelf.read_many([*own, *shelf.jobs_containing(name)]):
        if path in book.files:
            yield book.files[path]
        elif isinstance(content, bytes):
            yield OpenFile(book.root, path, content.decode("utf-8", "replace"))
