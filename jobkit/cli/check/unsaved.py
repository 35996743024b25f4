"""The text on stdin in the place of a file, as `lint --stdin PATH` checks it."""

from __future__ import annotations

import sys
from pathlib import Path

from jobkit.book.disk.errors import LARGEST, too_large
from jobkit.book.shelf.errors import unreadable
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.shelf.find import find_book
from jobkit.book.shelf.overlay import Overlay
from jobkit.cli.call.shelves import tree_of
from jobkit.cli.check.lint_call import LintCall
from jobkit.units.errors import MisuseError

_UNCHECKED = frozenset(("attachment", "other"))


def unsaved_root(call: LintCall) -> Path:
    """Find the book that a file is in, which need not be saved yet; raises MisuseError where the call asks for more."""
    assert call.stdin is not None
    if call.paths or call.staged or call.rev or call.since:
        raise MisuseError(
            "--stdin checks one file alone", "leave out the other files, --staged, --rev and --since"
        )
    if len(call.books) > 1:
        raise MisuseError("--stdin checks a file of one book", "name one --book")
    return find_book(call.books[0] if call.books else _folder_there(call.stdin))


def _folder_there(path: str) -> Path:
    """Return the nearest folder above a file that is there."""
    place = Path(path).absolute()
    return next((folder for folder in place.parents if folder.is_dir()), Path.cwd())


def unsaved_shelf(root: Path, path: str) -> Overlay:
    """Read stdin, and put it in the place of the file `path` of the book; raises MisuseError."""
    inside = path_in_book(root, path)
    content = (
        sys.stdin.buffer.read(LARGEST + 1) if sys.stdin else b""
    )  # a stream closed from the start is None
    if len(content) > LARGEST:
        raise unreadable(too_large(inside))
    return Overlay(tree_of(root), {inside: content})


def path_in_book(root: Path, path: str) -> str:
    """Return the path of a file as the book knows it; raises MisuseError for one that lint does not check."""
    place = Path(path).absolute()
    place = place.parent.resolve() / place.name
    if not place.is_relative_to(root):
        raise MisuseError(f"{path} is outside the book {root}", "name a file of the book, or another --book")
    inside = place.relative_to(root).as_posix()
    if kind_of(inside) in _UNCHECKED:
        raise MisuseError(
            f"lint does not check {inside}",
            "name bench.toml, meters.toml, stock.toml, boards/DESIGN.toml or jobs/YEAR/ID.toml",
        )
    return inside
