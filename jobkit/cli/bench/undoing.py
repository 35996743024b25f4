"""Undoing what was written last: which call it was, what speaks against it, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from jobkit.book import git
from jobkit.book.disk.errors import DiskError
from jobkit.book.read.load import load_job
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.shelf.opening import Revision, ShelfError
from jobkit.book.toml.parse import TomlError, decode
from jobkit.book.write.journal import Journal, Note
from jobkit.book.write.session import SessionFiles, remembered
from jobkit.book.write.undo import UndoStep, is_committed, last_unit, plan, session_before, take_back
from jobkit.cli.bench.asking import agreed, at_terminal
from jobkit.cli.bench.writing import tell
from jobkit.cli.call.streams import say
from jobkit.jobs.attachments import attachments
from jobkit.jobs.job_folder import attachment_path
from jobkit.pages.words import counted
from jobkit.units.errors import MisuseError, in_one_line

_FEW = 3
_CHANGE = "change the file in an editor"


class Undo:
    """One call of `undo`: the book, whose writing it undoes, the day at the bench, and whether it may ask."""

    def __init__(self, root: Path, hand: str, today: date, *, sure: bool) -> None:
        self.root = root
        self.hand = hand
        self.today = today
        self.sure = sure
        self.journal = Journal(root)
        self.files = SessionFiles(root)

    def last(self) -> tuple[Note, ...]:
        """Return the notes of the last call of this hand, newest first; raises MisuseError where there is none."""
        notes = self.journal.notes().values()
        unit = last_unit(notes, self.hand)
        if unit:
            return unit
        others = [note.hand for note in notes if note]
        if others:
            other = in_one_line(others[-1])
            raise MisuseError(
                f"nothing that {self.hand} wrote here is left to undo; {other} wrote last",
                f"`jobkit undo --by {other}` undoes that",
            )
        raise MisuseError("nothing left to undo", _CHANGE)


def undo_last(undo: Undo) -> None:
    """Undo the last call of this hand, unless it is left as it is; raises MisuseError."""
    unit = undo.last()
    steps = plan(undo.root, unit)
    session = undo.files.read()
    back = {key: value for note in unit for key, value in session_before(session, note).items()}
    if all(step.is_done for step in steps) and not back:
        _tell_over(undo, steps)
    elif _is_wanted(undo, steps):
        for step in steps:
            take_back(undo.root, undo.journal, step)
        tell(f"undone{_from(unit, ' from')}: {_what(unit)}")
        for path in dict.fromkeys(path for step in steps for path in _left_files(undo.root, step)):
            say(f"{in_one_line(path)} stays, and its entry is gone; take it away if you do not need it")
        _set_back(undo, unit, back)
    else:
        say("left as it is")


def forget_last(undo: Undo) -> None:
    """Leave the last call of this hand in the book and take it off the list; raises MisuseError."""
    odd = [name for name, note in undo.journal.notes().items() if note is None]
    for name in odd:
        undo.journal.done(name)
    if odd:
        tell(f"{counted(len(odd), 'note')} that cannot be read taken off the list for undo")
        return
    unit = undo.last()
    for note in unit:
        undo.journal.done(note.id)
    tell(f"left{_from(unit, ' in') or ' as it is'}: {_what(unit)}")


def _tell_over(undo: Undo, steps: Sequence[UndoStep]) -> None:
    """Say that there is nothing to undo, and what was written before: that is not what was asked for."""
    for step in steps:
        undo.journal.done(step.note.id)
    unit = [step.note for step in steps]
    was_begun = any(step.was_begun for step in steps)
    over = "was undone before" if was_begun else "did not get into the file"
    tell(f"{_what(unit)} {over}{_from(unit, ':')}; nothing is changed")
    try:
        earlier = undo.last()
    except MisuseError:
        return
    say(f"written before it: {_what(earlier)}{_from(earlier, ' in')}; `jobkit undo` undoes that")


def _is_wanted(undo: Undo, steps: Sequence[UndoStep]) -> bool:
    """Ask before anything is undone that reaches further than today's open work; raises MisuseError."""
    reasons = list(dict.fromkeys(_reasons(undo, steps)))
    if not reasons or undo.sure:
        return True
    unit = [step.note for step in steps]
    said = f"{_what(unit)}{_from(unit, ' in')} {' and '.join(reasons)}"
    if not at_terminal():
        raise MisuseError(
            said,
            "`jobkit undo --yes` undoes it anyway, `jobkit undo --skip` leaves it and goes on to the one before",
        )
    return bool(agreed(f"{said}; take it back all the same? (y, Enter no): ", enter=False))


def _reasons(undo: Undo, steps: Sequence[UndoStep]) -> Iterator[str]:
    head = _Head(undo.root)
    for step in steps:
        if step.is_done and step.note.path:
            continue
        if step.note.at.date() != undo.today:
            yield f"was written on {step.note.at.date()}"
        if step.note.path and is_committed(step, head.text(step.note.path)):
            yield "is committed"
        if sent := _sent(step):
            yield f"belongs to a job that was sent on {sent}"


def _left_files(root: Path, step: UndoStep) -> Iterator[str]:
    """Yield the files of a job that were named in what was undone, are still there, and are named no more."""
    if kind_of(step.note.path) != "job" or step.now is None:
        return
    before, after = _named_files(step.note.path, step.now), _named_files(step.note.path, step.then or "")
    for name in before - after:
        path = attachment_path(step.note.path, name)
        if (root / path).is_file():
            yield path


def _named_files(path: str, text: str) -> set[str]:
    job = load_job(path, text.encode()).job
    return {name for _, name in attachments(job)} if job else set()


def _sent(step: UndoStep) -> date | None:
    """Tell when the job was sent that the change goes into; taking `sent` itself back does not go into one."""
    if kind_of(step.note.path) != "job" or step.then is None:
        return None
    job = load_job(step.note.path, step.then.encode()).job
    return job.dates.sent if job else None


class _Head:
    """The book as it was committed last, looked up only once it is needed."""

    def __init__(self, root: Path) -> None:
        self._root = root

    @cached_property
    def _shelf(self) -> Revision | None:
        try:
            return Revision(self._root, "HEAD")
        except git.GitError:
            return None

    def text(self, path: str) -> str | None:
        """Return the text of a file in the last commit, None where there is none."""
        if self._shelf is None:
            return None
        try:
            return decode(self._shelf.read(path))
        except (ShelfError, TomlError, git.GitError):
            return None


def _set_back(undo: Undo, unit: Sequence[Note], back: Mapping[str, Any]) -> None:
    """Set the session back too, and say what became of the clock."""
    try:
        session = undo.files.remember(**back) if back else undo.files.read()
    except DiskError as error:
        say(f"jobkit: {', '.join(back)} cannot be set back: {error.message}")
        return
    was = next(
        (remembered("clock", note.session["clock"][0]) for note in unit if "clock" in note.session), None
    )
    if "clock" in back:
        tell(f"the clock runs again for {session.clock.job}" if session.clock else "the clock is stopped")
    elif was and session.clock:
        say(f"jobkit: the clock for {was.job} is not started again: one runs for {session.clock.job}")


def _what(unit: Sequence[Note]) -> str:
    """Say what a call wrote; the words may come from a stranger."""
    return in_one_line(unit[0].what)


def _from(unit: Sequence[Note], link: str) -> str:
    """Name the files of a call behind a word, in the order they were written; "" where it wrote to none."""
    paths = list(dict.fromkeys(in_one_line(note.path) for note in reversed(unit) if note.path))
    named = ", ".join(paths) if len(paths) <= _FEW else counted(len(paths), "file")
    return f"{link} {named}" if named else ""
