"""Writing to the files of a book so that it can be undone: each writing is noted in the journal first."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from jobkit.book.disk.errors import DiskError
from jobkit.book.write import disk
from jobkit.book.write.journal import NO_FILE, Journal, Note, digest, new_id
from jobkit.book.write.splices import Splice, splices
from jobkit.units.errors import LeftUndoneWarning, MisuseError

Edit = Callable[[str], str]
"""Takes the text of a file and returns the new one; raises MisuseError where it cannot."""

Check = Callable[[str, str], None]
"""Looks at the text before and after all edits; raises MisuseError where it may not be written."""

SessionChanges = Mapping[str, tuple[Any, Any]]
"""Keys of the session that a call changes as well, as they are kept, before and after."""

_Step = Callable[[str, str, str, Sequence[Splice]], None]
"""Notes a writing: the path, the digests before and after, and the splices."""


def no_check(_old: str, _new: str) -> None:
    """Find nothing wrong."""


class Pen:
    """Writes files of one book. All that one pen wrote is undone together.

    Where the journal cannot be written, the book is written all the same, and a warning says that `undo` will not know.
    """

    def __init__(
        self, root: Path, what: str, hand: str, at: datetime, session: SessionChanges | None = None
    ) -> None:
        """Take the book, what is written in words, who types, the local time of the bench, and what else changes."""
        self._root = root
        self._journal = Journal(root)
        self._is_barred = False
        self._blank = Note("", new_id(), "", what, NO_FILE, NO_FILE, (), hand, at, session or {})

    def update(self, path: str, edits: Sequence[Edit], check: Check = no_check) -> str:
        """Apply edits to a file, all or none, and return its new text.

        Raises what `disk.update`, the edits and the check raise; the file is as it was then.
        """
        done: list[Splice] = []

        def edit(text: str) -> str:
            done.clear()
            new = text
            for one in edits:
                before, new = new, one(new)
                done.extend(splices(before, new))
            check(text, new)
            return new

        with self._noting() as note:
            return disk.update(
                self._root, path, edit, lambda old, new: note(path, digest(old), digest(new), done)
            )

    def create(self, path: str, text: str) -> None:
        """Write a new file; raises TakenError, DiskError."""
        with self._noting() as note:
            disk.create(self._root, path, text, lambda _old, new: note(path, NO_FILE, digest(new), ()))

    def remove(self, path: str, text: str) -> None:
        """Take away a file that holds `text`; raises ChangedError, DiskError."""
        gone = Splice(0, text, "")
        with self._noting() as note:
            disk.remove(self._root, path, text, lambda old, _new: note(path, digest(old), NO_FILE, (gone,)))

    def remember(self, change: Callable[[], object]) -> None:
        """Change the session and nothing of the book; raises DiskError."""
        with self._noting() as note:
            note("", NO_FILE, NO_FILE, ())
            change()

    def bar(self) -> None:
        """Note that a step follows that is not noted: then `undo` leaves all that this pen wrote as it is."""
        if not self._is_barred:
            self._is_barred = True
            with self._noting() as note:
                note("", NO_FILE, NO_FILE, ())

    @contextmanager
    def _noting(self) -> Iterator[_Step]:
        """Give the step that notes a writing; where the writing fails or is made again, the note goes off the list."""
        noted: list[str] = []

        def take_off() -> None:
            with suppress(DiskError):  # `undo` tells by the content as well that the file was never written
                while noted:
                    self._journal.done(noted.pop())

        def note(path: str, before: str, after: str, done: Sequence[Splice]) -> None:
            take_off()
            one = self._blank._replace(
                id=new_id(), path=path, before=before, after=after, splices=tuple(done)
            )
            try:
                self._journal.note(one)
            except DiskError as error:
                message = f"`undo` will not know of this: {error.message}"
                warnings.warn(LeftUndoneWarning(message), stacklevel=2)
            else:
                noted.append(one.id)

        try:
            yield note
        except MisuseError:
            take_off()
            raise
