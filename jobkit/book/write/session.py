"""What lies on the desk beside a book: the job chosen, who works, the meters in use, and what was written last.

None of it belongs to the book. It lies in the git directory of the working tree; outside git in the person's folder for
state (XDG Base Directory Specification, XDG_STATE_HOME), under the name of the book's folder. A desk that cannot be
read is an empty one.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from jobkit.book import git
from jobkit.book.write.disk import DiskError, create, taking_turns, update
from jobkit.book.write.splices import Splice

KEPT = 200
"""So many writings can be taken back."""


class Clock(NamedTuple):
    """A running clock: for which job, since when (ISO 8601, local)."""

    job: str
    since: str


class Walking(NamedTuple):
    """A walk that was begun: for which job, at which stage, since when (ISO 8601), and with how many entries there."""

    job: str
    when: str
    since: str = ""
    entries: int = 0


class Desk(NamedTuple):
    """What is remembered; "" and None where there is nothing. `meters` are those used last, by kind of reading."""

    job: str = ""
    by: str = ""
    meters: Mapping[str, str] = {}
    walking: Walking | None = None
    clock: Clock | None = None


class Written(NamedTuple):
    """One writing: which file of the book, what it was in words, and the splices it made; None made the file."""

    path: str
    what: str
    splices: tuple[Splice, ...]
    made: str | None = None


class DeskFiles:
    """The desk of one book on the disk."""

    def __init__(self, root: Path) -> None:
        """Find the desk of the book at `root`."""
        self._folder, name = _place(root)
        self._desk = self._folder / f"desk-{name}.json"
        self._log = self._folder / f"written-{name}.jsonl"

    def look(self) -> Desk:
        """Read the desk."""
        try:
            return _desk(json.loads(self._desk.read_bytes()))
        except (OSError, ValueError, TypeError):
            return Desk()

    def remember(self, **changes: Any) -> Desk:
        """Change what is remembered, and give the new desk; raises DiskError."""
        desk = self.look()._replace(**changes)
        text = json.dumps(desk._asdict(), ensure_ascii=False) + "\n"
        _put(self._desk, lambda _old: text)
        return desk

    def note(self, written: Written) -> None:
        """Note a writing, so that it can be taken back; raises DiskError."""
        line = json.dumps(written, ensure_ascii=True) + "\n"
        _put(self._log, lambda old: "".join([*old.splitlines(keepends=True)[1 - KEPT :], line]))

    @contextmanager
    def taking_back(self) -> Iterator[None]:
        """Keep the last writing the last while it is taken back: of two that do so at once, one waits."""
        if not self._log.exists():
            yield
            return
        with taking_turns(self._log.with_suffix(".undo")):
            yield

    def last(self) -> Written | None:
        """Read the last writing that was not taken back."""
        try:
            lines = self._log.read_text("utf-8").splitlines()
            return _written(json.loads(lines[-1]))
        except (OSError, ValueError, TypeError, IndexError):
            return None

    def forget_last(self) -> None:
        """Take the last writing off the list; raises DiskError."""
        _put(self._log, lambda old: "".join(old.splitlines(keepends=True)[:-1]))


def _place(root: Path) -> tuple[Path, str]:
    """Find the folder of the desk, and a name that no other book has in it."""
    name = sha256(os.fsencode(os.path.realpath(root))).hexdigest()[:12]
    try:
        return Path(git.open_repo(root).git_dir) / "jobkit", name
    except git.GitError:
        home = os.environ.get("XDG_STATE_HOME", "")
        state = Path(home) if home.startswith("/") else Path.home() / ".local" / "state"
        return state / "jobkit", name


def _put(path: Path, change: Any) -> None:
    if not path.exists():
        try:
            create(path, change(""))
        except DiskError:
            if not path.exists():
                raise
        else:
            return
    update(path, change)


def _desk(data: dict[str, Any]) -> Desk:
    known = {key: data[key] for key in Desk._fields if key in data}
    walking, clock = known.get("walking"), known.get("clock")
    return Desk(**known)._replace(
        walking=Walking(*walking) if walking else None, clock=Clock(*clock) if clock else None
    )


def _written(data: list[Any]) -> Written:
    path, what, splices, made = data
    return Written(path, what, tuple(Splice(*one) for one in splices), made)
