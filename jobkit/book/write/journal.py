"""The journal of a book: what the writing commands write, noted before it is written, so that `undo` can take it back.

One line of JSON a note, at the end of the file; what became of a note is another line. A line that was cut off by a
kill or a full disk belongs to a writing that never came about, because the note comes first.

The file is in the git directory, which may come from a stranger: a line that is not JSON is passed over, and a note
that does not have the form of one is an odd note, never an error. What a note says of the book is checked by `undo`.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from jobkit.book.write.disk import taking_turns
from jobkit.book.write.splices import Splice
from jobkit.book.write.state_files import append_line, read_state, replace_state, state_file
from jobkit.named_tuple import NamedTuple

NO_FILE = ""
"""The digest where there is no file."""

MOST_BYTES = 1_000_000
"""A journal that has grown beyond this loses its oldest notes."""

_HALF = MOST_BYTES // 2
_TEXTS = ("id", "unit", "path", "what", "before", "after", "hand")


class Note(NamedTuple):
    """One file that one call wrote.

    The notes of one `unit` are undone together. `path` is relative to the book, "" where only the session changed.
    `before` and `after` are digests of the file's content, NO_FILE where there is none. `hand` is who typed, `at` the
    local time of the bench. `session` maps keys of the session to the values before and after. `leaves` is the digest
    that the file has once an `undo`, begun, is through; None where none was begun.
    """

    id: str
    unit: str
    path: str
    what: str
    before: str
    after: str
    splices: tuple[Splice, ...]
    hand: str
    at: datetime
    session: Mapping[str, tuple[Any, Any]] = {}
    leaves: str | None = None


def digest(text: str | None) -> str:
    """Return the digest of a file's content, None where there is no file."""
    return NO_FILE if text is None else sha256(text.encode()).hexdigest()


def new_id() -> str:
    """Return an id that no other note has."""
    return os.urandom(8).hex()


class Journal:
    """The journal of one book on the disk."""

    def __init__(self, root: Path) -> None:
        """Find the journal of the book at `root`."""
        self._file = state_file(root, "written", ".jsonl")
        self._is_short = False

    def note(self, note: Note) -> None:
        """Note what is about to be written; raises DiskError."""
        if not self._is_short:
            self._shorten()
        self._append({"note": note._asdict() | {"at": note.at.isoformat()}})

    def undoing(self, note: Note, leaves: str) -> None:
        """Note that a writing is about to be undone, which leaves the file with this digest; raises DiskError."""
        self._append({"undoing": note.id, "leaves": leaves})

    def done(self, note_id: str) -> None:
        """Take a note off the list; raises DiskError."""
        self._append({"done": note_id})

    def notes(self) -> dict[str, Note | None]:
        """Return by id the notes that were not undone, oldest first, None for an odd one; raises DiskError."""
        return _open_notes(self._lines())

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Keep the last writing the last while it is undone: of two that do so at once, one waits."""
        if not self._file.size():
            yield
            return
        with taking_turns(self._file.root, f"{self._file.path}.undo"):
            yield

    def _append(self, line: Mapping[str, Any]) -> None:
        append_line(self._file, json.dumps(line))

    def _lines(self) -> list[bytes]:
        return [line for line in read_state(self._file).split(b"\n") if line]

    def _shorten(self) -> None:
        """Drop the oldest notes of a long journal; the last one stays, however long it is."""
        self._is_short = True
        if self._file.size() > MOST_BYTES:
            replace_state(self._file, lambda _old: b"".join(_newest(self._lines())))


def _newest(lines: Sequence[bytes]) -> list[bytes]:
    """Return the lines of the newest notes that are open; all of a unit or none."""
    notes = _open_notes(lines)
    kept: list[bytes] = []
    room, unit = _HALF, ""
    for note in reversed(notes.values()):
        if note is None:
            break
        line = json.dumps({"note": note._asdict() | {"at": note.at.isoformat()}}).encode() + b"\n"
        room -= len(line)
        if room < 0 and note.unit != unit and kept:
            break
        unit = note.unit
        kept.append(line)
    return kept[::-1]


def _open_notes(lines: Sequence[bytes]) -> dict[str, Note | None]:
    """Go through the lines and return what is open, by id."""
    notes: dict[str, Note | None] = {}
    for number, line in enumerate(lines):
        match _object(line):
            case {"note": data}:
                note = _note(data)
                notes[note.id if note else f"line {number}"] = note
            case {"undoing": str(name), "leaves": str(leaves)}:
                begun = notes.get(name)
                if begun:
                    notes[name] = begun._replace(leaves=leaves)
            case {"done": str(name)}:
                notes.pop(name, None)
    return notes


def _object(line: bytes) -> dict[str, Any]:
    try:
        data = json.loads(line)
    except (ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}


def _note(data: Any) -> Note | None:
    """Read a note; None where anything in it has not the form it is written with."""
    if not isinstance(data, dict) or data.keys() != set(Note._fields):
        return None
    texts, leaves = [data[name] for name in _TEXTS], data["leaves"]
    if not all(map(_is_text, texts)) or not isinstance(leaves, str | None):
        return None
    try:
        at = datetime.fromisoformat(data["at"])
        splices = tuple(Splice(*one) for one in data["splices"])
        session = {str(key): (was, now) for key, (was, now) in dict(data["session"]).items()}
    except (TypeError, ValueError):
        return None
    if at.tzinfo or not all(_is_splice(one) for one in splices):
        return None
    return Note(**{**data, "at": at, "splices": splices, "session": session})


def _is_splice(one: Splice) -> bool:
    return type(one.at) is int and one.at >= 0 and _is_text(one.old) and _is_text(one.new)


def _is_text(value: Any) -> bool:
    """Tell text from all else; half a surrogate pair, which JSON can spell, cannot be written to a file."""
    return isinstance(value, str) and not any("\ud800" <= letter <= "\udfff" for letter in value)
