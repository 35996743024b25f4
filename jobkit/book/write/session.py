"""What is remembered beside a book: the job chosen, who works, the meters in use, a walk that was begun, the clock.

None of it belongs to the book. The file may come from a stranger: what does not have the form it is written with counts
as not remembered.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from jobkit.book.disk.errors import DiskError
from jobkit.book.write.state_files import read_state, replace_state, state_file
from jobkit.named_tuple import NamedTuple

_LONGEST = 200
"""No name that is remembered is longer."""

_MARKS = 5
"""So many things tell what a job is."""


class Clock(NamedTuple):
    """A running clock: for which job, since when (ISO 8601, local)."""

    job: str
    since: str


class Walking(NamedTuple):
    """A walk that was begun: for which job, at which stage, since when (ISO 8601), and with how many entries there."""

    job: str
    stage: str
    since: str = ""
    entries: int = 0


class Session(NamedTuple):
    """What is remembered; "" and None where there is nothing. `meters` are those used last, by kind of reading.

    `known` tells by id what the jobs are: client, title, complaint, serial number, day of receipt.
    """

    job: str = ""
    by: str = ""
    meters: Mapping[str, str] = {}
    walking: Walking | None = None
    clock: Clock | None = None
    known: Mapping[str, tuple[str, ...]] = {}


class SessionFiles:
    """The session of one book on the disk."""

    def __init__(self, root: Path) -> None:
        """Find the session of the book at `root`."""
        self._file = state_file(root, "session", ".json")

    def read(self) -> Session:
        """Read the session; one that cannot be read is an empty one."""
        try:
            return _session(read_state(self._file))
        except DiskError:
            return Session()

    def remember(self, **changes: Any) -> Session:
        """Change what is remembered, and give the new one; raises DiskError."""
        session = Session()

        def change(old: bytes) -> bytes:
            nonlocal session
            session = _session(old)._replace(**changes)
            return (json.dumps(session._asdict(), ensure_ascii=False) + "\n").encode()

        replace_state(self._file, change)
        return session


def as_kept(value: object) -> Any:
    """Return a value of the session as it is kept: lists for tuples.

    >>> as_kept(Clock("K26-0007", "2026-10-22T10:05:00"))
    ['K26-0007', '2026-10-22T10:05:00']
    """
    return json.loads(json.dumps(value))


def remembered(key: str, kept: Any) -> Any:
    """Return a value of the session from how it is kept; what has not its form is as good as nothing."""
    reader = _READERS.get(key)
    return reader(kept) if reader else None


def _session(content: bytes) -> Session:
    try:
        data = json.loads(content)
    except (ValueError, RecursionError):
        return Session()
    known = data if isinstance(data, dict) else {}
    return Session(**{key: reader(known[key]) for key, reader in _READERS.items() if key in known})


def _name(kept: Any) -> str:
    return kept if isinstance(kept, str) and kept.isprintable() and len(kept) <= _LONGEST else ""


def _meters(kept: Any) -> dict[str, str]:
    if not isinstance(kept, dict):
        return {}
    return {kind: _name(meter) for kind, meter in kept.items() if _name(kind) and _name(meter)}


def _walking(kept: Any) -> Walking | None:
    match kept:
        case [str(), str(), str(), int()] if all(map(_name, kept[:2])) and (
            not kept[2] or _is_moment(kept[2])
        ):
            return Walking(*kept)
    return None


def _clock(kept: Any) -> Clock | None:
    match kept:
        case [str(), str()] if _name(kept[0]) and _is_moment(kept[1]):
            return Clock(*kept)
    return None


def _known(kept: Any) -> dict[str, tuple[str, ...]]:
    if not isinstance(kept, dict):
        return {}
    return {job: tuple(told) for job, told in kept.items() if _name(job) and _is_told(told)}


def _is_told(kept: Any) -> bool:
    """Tell whether what is kept are the five marks of a job; nothing is done with them but to compare them."""
    return isinstance(kept, list) and len(kept) == _MARKS and all(isinstance(one, str) for one in kept)


def _is_moment(text: str) -> bool:
    """Tell whether a text is a local time, as ISO 8601 has it."""
    try:
        return datetime.fromisoformat(text).tzinfo is None
    except ValueError:
        return False


_READERS: Mapping[str, Callable[[Any], Any]] = {
    "job": _name,
    "by": _name,
    "meters": _meters,
    "walking": _walking,
    "clock": _clock,
    "known": _known,
}
"""What reads each key of the session from JSON."""
