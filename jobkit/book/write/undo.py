"""Undoing what one call wrote: first a plan of all its files, then one file after the other.

Of each file it is told by its content whether the writing came about at all, whether it is undone already, and whether
the file is still as it was left; so an undo that was killed goes on where it was. The journal may come from a stranger:
only files of the book are touched, none through a link, and only where the content is what the note says.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path, PurePosixPath
from typing import Any

from jobkit.book.disk.errors import DiskError, MissingError
from jobkit.book.disk.reading import read_beneath
from jobkit.book.edit import EditError
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.toml.parse import TomlError, decode, parse_text
from jobkit.book.write import disk
from jobkit.book.write.journal import NO_FILE, Journal, Note, digest
from jobkit.book.write.session import Session, as_kept, remembered
from jobkit.book.write.splices import changed_since, reverted, taken_back, times
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import LeftUndoneWarning, MisuseError

_SCHEMA = re.compile(r"schema/[a-z]+\.schema\.json")


class UndoError(MisuseError):
    """A writing cannot be undone; nothing has been changed."""


class UndoStep(NamedTuple):
    """How one file is undone: its text now and afterwards, None where there is no file.

    They are the same where nothing is left to do: `was_begun` tells then whether an earlier undo did it, or whether the
    writing never came about.
    """

    note: Note
    now: str | None
    then: str | None

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to do."""
        return self.now == self.then

    @property
    def was_begun(self) -> bool:
        """Whether an earlier undo had begun with it."""
        return self.note.leaves is not None


def last_unit(notes: Iterable[Note | None], hand: str) -> tuple[Note, ...]:
    """Return the notes of the last call of one hand that are left, newest first.

    Raises UndoError where an odd note was written after it: that may have been the last call.
    """
    unit: list[Note] = []
    for note in reversed(tuple(notes)):
        if note is None and not unit:
            raise UndoError("the last note for undo cannot be read", "`jobkit undo --skip` gets past it")
        if note and note.hand == hand and (not unit or note.unit == unit[0].unit):
            unit.append(note)
    return tuple(unit)


def plan(root: Path, unit: Sequence[Note]) -> tuple[UndoStep, ...]:
    """Look at every file of a call; raises UndoError where one of them cannot be undone."""
    for note in unit:
        if not note.path and not note.session:
            raise UndoError(
                f"{note.what}: undo cannot take this back, because files were moved",
                "put them back with git; `jobkit undo --skip` gets past it",
            )
    return tuple(_steps(root, unit, {}))


def take_back(root: Path, journal: Journal, step: UndoStep) -> None:
    """Take one file back, and its note off the list; raises MisuseError, and then the file is as it was."""

    def begin(_old: str, new: str) -> None:
        journal.undoing(step.note, NO_FILE if step.then is None else digest(new))

    path = step.note.path
    if not step.is_done:
        if step.then is None:
            disk.remove(root, path, step.now or "", begin)
        elif step.now is None:
            disk.create(root, path, step.then, begin)
        else:
            disk.update(root, path, lambda text: _without(step.note, text), begin)
    forget(journal, step.note.id)


def session_before(session: Session, note: Note) -> dict[str, Any]:
    """Return what a call changed in the session, from before it, as far as it is still as the call left it."""
    now = session._asdict()
    return {
        key: remembered(key, before)
        for key, (before, after) in note.session.items()
        if key in now and as_kept(now[key]) == after
    }


def forget(journal: Journal, note_id: str) -> None:
    """Take a note off the list; warn where the list cannot be written."""
    try:
        journal.done(note_id)
    except DiskError as error:
        message = f"it stays on the list for undo: {error.message}"
        warnings.warn(LeftUndoneWarning(message), stacklevel=2)


def is_committed(step: UndoStep, head: str | None) -> bool:
    """Tell whether a writing is in the file as it was committed last (None: it was not)."""
    if step.now is None or step.then is None or head is None:
        return (step.now is None) == (head is None)
    now, then, head = map(_plain_ends, (step.now, step.then, head))
    lines = [(_plain_ends(one.old), _plain_ends(one.new)) for one in step.note.splices]
    return now == head or any(
        times(head, new) > times(then, new) if new else times(head, old) < times(then, old)
        for old, new in lines
    )


def _steps(root: Path, unit: Sequence[Note], texts: dict[str, str | None]) -> Iterator[UndoStep]:
    for note in unit:
        if not note.path:
            yield UndoStep(note, None, None)
            continue
        _check_place(note)
        try:
            now = texts[note.path] if note.path in texts else _text(root, note.path)
            then = texts[note.path] = now if _is_over(note, now) else _before(note, now)
        except (EditError, DiskError, TomlError) as error:
            raise _refusal(note, error) from None
        yield UndoStep(note, now, then)


def _is_over(note: Note, now: str | None) -> bool:
    """Tell whether the file is as it was before: never written, or undone by an undo that was killed."""
    return digest(now) == note.before or (note.leaves is not None and digest(now) == note.leaves)


def _before(note: Note, now: str | None) -> str | None:
    """Return the text of a file from before it was written; raises EditError where it was changed since."""
    if NO_FILE not in {note.before, note.after} and now is not None:
        return _without(note, now)
    if digest(now) != note.after:
        raise changed_since()
    return reverted("", note.splices) if now is None else None


def _without(note: Note, now: str) -> str:
    """Return a text without what a note says was written; raises EditError where it was changed since."""
    if digest(now) == note.after:
        then = reverted(now, note.splices)
        if digest(then) != note.before:
            raise EditError("the list for undo does not fit the file", "change it in an editor")
        return then
    then = taken_back(now, note.splices)
    _check_toml(note.path, then)
    return then


def _check_toml(path: str, text: str) -> None:
    if path.endswith(".toml"):
        try:
            parse_text(text)
        except TomlError:
            raise changed_since() from None


def _check_place(note: Note) -> None:
    """Refuse what is not a file of the book; the gate follows no link and opens nothing but plain files."""
    path = PurePosixPath(note.path)
    odd = path.is_absolute() or ".." in path.parts or note.path != str(path) or {"\\", "\0"} & set(note.path)
    if odd or (kind_of(note.path) == "other" and not _SCHEMA.fullmatch(note.path)):
        raise _refusal(note, EditError("this is not a file of the book", "the list may come from a stranger"))


def _text(root: Path, path: str) -> str | None:
    try:
        return decode(read_beneath(str(root), path))
    except MissingError:
        return None


def _refusal(note: Note, error: MisuseError) -> UndoError:
    mend = f"{error.mend}; `jobkit undo --skip` gets past it"
    return UndoError(f"{note.what} in {note.path}: {error.message}", mend)


def _plain_ends(text: str) -> str:
    return text.replace("\r\n", "\n")
