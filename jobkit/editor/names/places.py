"""Go to what a name means: a point or part in its board file, an item, a meter, an earlier job, an attachment."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from lsprotocol.types import Location, Position, Range

from jobkit.book.shelf.errors import ShelfError
from jobkit.book.shelf.opening import kind_of
from jobkit.editor.names.designs import Named, design_of, meant, name_at
from jobkit.editor.names.named import names_in
from jobkit.editor.rule_page import rule_page_uri
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.lint.rules.catalogue import all_rules

_TOP = Range(Position(0, 0), Position(0, 0))
_DEFINED = {
    "point": (("point", "name"),),
    "rail": (("rail", "name"),),
    "check": (("check", "name"),),
    "cause": (("cause", "name"),),
    "channel": (("memory", "channels"),),
    "part": (
        ("memory", "part"),
        ("package", "part"),
        ("parts",),
        ("processor",),
        ("cause", "part"),
        ("rail", "feeds"),
    ),
    "meter": (("meter", "name"),),
}
"""Where in its file each sort of name is defined, the most telling place first."""


def definitions(file: OpenFile, book: BookInEditor, position: Position) -> list[Location]:
    """Return where what is named at a position is defined; none where the book does not say."""
    named = name_at(file, book.book().bench, file.text.offset(position))
    return list(_defined(named, file, book)) if named else []


def _defined(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[Location]:
    if named.role in {"job", "source"}:
        yield from (_top(book, path) for path in book.overlay().jobs_named(named.name))
    elif named.role == "design":
        yield from _there(book, f"boards/{named.name}.toml")
    elif named.role == "attachment":
        yield from _there(book, f"{file.path.removesuffix('.toml')}/{named.name}")
    elif named.role == "rule" and named.name in all_rules():
        uri = rule_page_uri(named.name)
        yield from [Location(uri, _TOP)] if uri else []
    elif named.role == "item":
        yield from _in_file(named, "stock.toml", book)
    elif named.role == "meter":
        yield from _in_file(named, "meters.toml", book)
    elif named.role in _DEFINED:
        yield from _in_boards(named, file, book)


def _in_boards(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[Location]:
    bench = book.book().bench
    design = design_of(file, bench)
    for one in [design] if design else bench.designs.values():
        yield from _in_file(named, one.path, book)


def _in_file(named: Named, path: str, book: BookInEditor) -> Iterator[Location]:
    other = file_of(book, path)
    if other is None:
        return
    wanted = _DEFINED.get(named.role, (("item", named.name),))
    bench = book.book().bench
    there = (meant(one, other, bench) for one in names_in(other, named.name))
    found = [one for one in there if one and (one.role, one.name) == (named.role, named.name)]
    for keys in wanted:
        here = [one for one in found if tuple(key for key in one.path if isinstance(key, str)) == keys]
        if here:
            yield location(other, here[0])
            return


def file_of(book: BookInEditor, path: str) -> OpenFile | None:
    """Return a file of the book as the editor shows it, else as it is saved; None where it cannot be read."""
    if path in book.files:
        return book.files[path]
    try:
        content = book.tree.read(path)
    except ShelfError:
        return None
    return OpenFile(book.root, path, content.decode("utf-8", "replace"))


def location(file: OpenFile, named: Named) -> Location:
    """Return the place of a name in a file, its quotation marks not counted."""
    return Location(file.place.as_uri(), file.text.range(named.start, named.end))


def _there(book: BookInEditor, path: str) -> Iterator[Location]:
    if kind_of(path) != "other" and book.overlay().holds(path):
        yield _top(book, path)


def _top(book: BookInEditor, path: str) -> Location:
    return Location(Path(book.root / path).as_uri(), _TOP)
