"""The books that an editor has files of, and which file of which book a document is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from pygls import uris

from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.shelf.find import NoBookError, find_book
from jobkit.editor.outside import Outside
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import SERVED, OpenFile


class Books:
    """All open files by their address (URI), each in its book; what is in no book is not among them."""

    def __init__(self, outside: Outside) -> None:
        """Open nothing yet."""
        self._outside = outside
        self._books: dict[Path, BookInEditor] = {}
        self._places: dict[str, tuple[BookInEditor, str]] = {}

    def show(self, uri: str, text: str, version: int | None) -> OpenFile | None:
        """Take in a version of a document; None for one that is not a file of a book."""
        place = self._places.get(uri) or self._find(uri)
        if place is None:
            return None
        self._places[uri] = place
        book, path = place
        book.files[path] = OpenFile(book.root, path, text, version)
        return book.files[path]

    def close(self, uri: str) -> None:
        """Forget a document."""
        book, path = self._places.pop(uri, (None, ""))
        if book:
            book.files.pop(path, None)
            if not book.files:
                self._books.pop(book.root, None)

    def at(self, uri: str) -> tuple[BookInEditor, OpenFile] | None:
        """Return a document with its book; None where it is not a file of one."""
        book, path = self._places.get(uri, (None, ""))
        return (book, book.files[path]) if book and path in book.files else None

    def of(self, book: BookInEditor) -> Iterator[tuple[str, OpenFile]]:
        """Yield the documents of a book with their addresses."""
        for uri, (other, path) in list(self._places.items()):
            if other is book and path in book.files:
                yield uri, book.files[path]

    def __iter__(self) -> Iterator[BookInEditor]:
        """Yield the books that have open files."""
        return iter(list(self._books.values()))

    def _find(self, uri: str) -> tuple[BookInEditor, str] | None:
        """Find the book that a file is in; the file itself need not be saved yet."""
        name = uris.to_fs_path(uri) if uri.startswith("file:") else None
        if not name or "\0" in name:
            return None
        place = Path(name)
        folder = next((one for one in place.parents if one.is_dir()), None)
        try:
            root = find_book(folder) if folder else None
        except NoBookError:
            return None
        place = place.parent.resolve() / place.name
        if root is None or not place.is_relative_to(root):
            return None
        path = place.relative_to(root).as_posix()
        if kind_of(path) not in SERVED:
            return None
        return self._books.setdefault(root, BookInEditor(root, self._outside)), path
