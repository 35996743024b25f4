"""What is in the files that jobs name, read from a shelf, and what was worked out from each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from jobkit.book import git
from jobkit.book.shelf.errors import AbsentError, ShelfError
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.shelf.opening import Shelf
from jobkit.jobs.contents import Contents
from jobkit.named_tuple import NamedTuple

_Made = TypeVar("_Made")

_MOST = 100
"""So much is remembered: more than one job names, and little beside a book of which all boards came back."""


class ShelfContents:
    """The contents of a shelf; what was made of the files that were asked for last is remembered.

    `opened` has git's id of the content of each file that was asked for, "" where there is none to be read.
    """

    are_at_hand = True

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._made: dict[tuple[str, Callable[[bytes], Any]], Any] = {}
        self._unread: dict[str, str] = {}
        self.opened: dict[str, str] = {}

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give what `make` makes of a file's content; None for a file that is not there or cannot be read."""
        key = path, make
        if key not in self._made:
            if len(self._made) >= _MOST:
                self._made.clear()
            content = self._read(path)
            self._made[key] = None if content is None else make(content)
        made: _Made | None = self._made[key]
        return made

    def forget(self) -> None:
        """Forget what was made of files, so that going through many jobs takes no more memory than one."""
        self._made.clear()
        self._unread.clear()
        self.opened.clear()

    def why_unread(self, path: str) -> str:
        """Say why a file that was asked for and is there cannot be read; "" for any other."""
        return self._unread.get(path, "")

    def _read(self, path: str) -> bytes | None:
        if kind_of(path) not in {"job", "attachment"}:
            # What a job names may lead to private/; the rule file-outside says so.
            self.opened[path] = self._unread[path] = ""
            return None
        try:
            content = self._shelf.read(path)
        except ShelfError as error:
            self.opened[path] = ""
            self._unread[path] = "" if isinstance(error, AbsentError) else error.message
            return None
        self.opened[path] = git.blob_id(content, self._shelf.hashing)
        return content


class Rewritten(NamedTuple):
    """Contents in which one file is as it is to be written."""

    others: Contents
    path: str
    content: bytes
    are_at_hand: bool = True

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give what `make` makes of a file's content; None for a file that is not there or cannot be read."""
        return make(self.content) if path == self.path else self.others.made_of(path, make)

    def why_unread(self, path: str) -> str:
        """Say why a file that was asked for and is there cannot be read; "" for any other."""
        return "" if path == self.path else self.others.why_unread(path)
