"""A book of which files are open in an editor: the tree, and over it what is not saved yet.

What git says of the tree is asked again when its files tell that it may be another, when you save, and every ten
seconds: whatever another hand does is noticed by then.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import date, datetime
from pathlib import Path
from time import monotonic

from jobkit.book.edit import Value
from jobkit.book.history.repository_state import repository_state
from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import OpenBook, open_for_few
from jobkit.book.read.same_board import jobs_of_board
from jobkit.book.shelf.file_kinds import BY_NAME
from jobkit.book.shelf.opening import Tree
from jobkit.book.shelf.overlay import Overlay
from jobkit.editor.outside import Outside
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

_OLD = 10.0
"""Seconds after which git is asked again, whatever the files tell."""

_OF_GIT = ("index", "HEAD", "logs/HEAD", "MERGE_HEAD")
"""Files in the git directory of which one changes with each commit, checkout, merge and `git add`."""


class Writer(NamedTuple):
    """Who writes at the bench, "" where that is not known, and when."""

    now: datetime
    by: str = ""

    def entry(self) -> dict[str, Value]:
        """Return the keys that every entry begins with."""
        return {"at": self.now, "by": self.by} if self.by else {"at": self.now}


Stamp = tuple[tuple[int, int, int] | None, ...]


class BookInEditor:
    """One book, its open files by path, and what was last asked of its tree."""

    def __init__(self, root: Path, outside: Outside) -> None:
        """Take the folder that holds bench.toml."""
        self.root = root
        self.outside = outside
        self.files: dict[str, OpenFile] = {}
        self.is_checked = False
        self._tree: Tree | None = None
        self._stamp: Stamp = ()
        self._git_dir = ""
        self._seen: dict[object, tuple[str, ...]] = {}
        self._asked = 0.0
        self._saved: OpenBook | None = None
        self._facts: tuple[Facts, ...] | None = None

    def refresh(self) -> None:
        """Forget what was asked of the tree; the open files have to be checked again."""
        self.is_checked = False
        self._tree = self._saved = self._facts = None
        self._seen = {}

    def has_changed(self) -> bool:
        """Tell whether the tree may be another than when it was last asked about, and forget it if so."""
        if self._tree is not None and (self._look() != self._stamp or monotonic() - self._asked > _OLD):
            self.refresh()
        return self._tree is None

    @property
    def tree(self) -> Tree:
        """The working tree; raises MisuseError."""
        if self.has_changed() or self._tree is None:
            self._stamp, self._asked = self._look(), monotonic()
            self._tree = self.outside.tree_of(self.root)
            repo = self._tree.repo
            if repo and repo.git_dir != self._git_dir:
                self._git_dir = repo.git_dir
                self._stamp = self._look()
        return self._tree

    def overlay(self) -> Overlay:
        """Return the tree with what is not saved yet; raises MisuseError."""
        tree = self.tree
        return Overlay(tree, {path: file.content for path, file in self.files.items()}, self._seen)

    def book(self) -> OpenBook:
        """Open the book as the editor shows it, without looking at git; raises MisuseError."""
        book = open_for_few(self.overlay())
        return book._replace(bench=book.bench._replace(today=self.today(book)))

    def book_in_git(self) -> OpenBook:
        """Open the book as the editor shows it, with what git says of it; raises MisuseError."""
        book = self.book()
        around = repository_state(self.root, book.shelf)
        return book._replace(bench=book.bench._replace(repository=around))

    def saved(self) -> OpenBook:
        """Open the book as it is saved, with its store: for what other jobs say; raises MisuseError."""
        tree = self.tree
        if self._saved is None:
            self._saved = open_for_few(tree, self.outside.cache_for(tree))
        return self._saved

    def jobs_of_board(self, serial: str) -> tuple[str, ...]:
        """Name the job files of a serial number, sorted, as they are shown; a few may be of another.

        Raises MisuseError.
        """
        overlay, saved = self.overlay(), jobs_of_board(self.saved(), serial)
        if saved is None:
            return overlay.jobs_containing(serial)
        return tuple(sorted({*saved, *overlay.unsaved_jobs()}))

    def facts(self) -> tuple[Facts, ...]:
        """Return the facts of all saved jobs; raises MisuseError."""
        saved = self.saved()
        if self._facts is None:
            self._facts = all_facts(saved)
        return self._facts

    def now(self, book: OpenBook) -> datetime:
        """Tell the local time of the bench; where its zone is none, which a rule says, that of UTC."""
        try:
            return self.outside.now(book.bench.settings)
        except MisuseError:
            return self.outside.now(book.bench.settings._replace(zone="UTC"))

    def writer(self) -> Writer:
        """Tell who writes, as `jobkit jot` would, and when; raises MisuseError."""
        return Writer(self.now(self.book()), self.outside.who(self.root))

    def today(self, book: OpenBook) -> date:
        """Tell the day at the bench."""
        return self.now(book).date()

    def _look(self) -> Stamp:
        """Look at the files that change with what is in the tree or in git, without reading them."""
        return tuple(_status(path) for path in self._watched())

    def _watched(self) -> Iterable[str]:
        root = os.fspath(self.root)
        yield from (f"{root}/{name}" for name in ("jobs", "boards", *BY_NAME))
        yield from (f"{root}/{path}" for path in Tree(self.root).own_paths() if path.startswith("boards/"))
        for path in self.files:
            yield f"{root}/{path}"
            yield f"{root}/{path.removesuffix('.toml')}"
            yield f"{root}/{path.rpartition('/')[0]}"
        if self._git_dir:
            yield from (f"{self._git_dir}/{name}" for name in _OF_GIT)


def _status(path: str) -> tuple[int, int, int] | None:
    try:
        told = os.stat(path)  # noqa: PTH116 - of many files, each second
    except OSError:
        return None
    return told.st_mtime_ns, told.st_size, told.st_ino
