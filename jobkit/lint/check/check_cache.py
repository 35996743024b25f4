"""What is kept of the check of a job file: what was found, and what tells whether a rule has cause to look again.

A job whose content has not changed, and of which no rule has more to say, costs next to nothing: neither its text nor
its facts are loaded. Nothing here loads what checks.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha1
from typing import Any

from jobkit.book.cache.store import CheckRow
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.jobs.finding import Finding

DIGEST = 16
"""Hexadecimal digits of a digest of facts: two of one job are compared, never any two of all."""

ZONE = "zone"
"""The name under which the time zone of the bench is kept, with the digest of its own files as the question."""

write = json.JSONEncoder(separators=(",", ":")).encode
_decode = json.JSONDecoder().raw_decode  # takes half the time of `json.loads`, which looks for white space


class CheckResult(CheckRow):
    """The check of one job file, as much of it as is kept; read out of its row when asked."""

    __slots__ = ()

    @property
    def is_read(self) -> bool:
        """Tell whether the file is TOML."""
        return bool(self.reads)

    @property
    def attachments(self) -> tuple[str, ...]:
        """The files that the job names."""
        return tuple(read(self.attached)) if self.attached else ()

    @property
    def waives(self) -> tuple[tuple[str, str], ...]:
        """Rule and subject ("" = any) of each finding waived, in the order of the file."""
        return tuple((rule, about) for rule, about in read(self.waived)) if self.waived else ()

    @property
    def asks(self) -> tuple[str, ...]:
        """The rules across jobs that have anything to ask about this one.

        Of the rules that speak only in a check of the whole book, the row has a list of its own.
        """
        return (*self.asking.split(), *self.asking_whole.split())

    @property
    def findings(self) -> Iterator[Finding]:
        """What was found, waived findings too."""
        return findings_from(read(self.found)) if self.found else iter(())


def read(text: str) -> Any:
    """Read back what `write` wrote."""
    return _decode(text)[0]


def as_text(findings: Iterable[Finding]) -> str:
    """Write findings as text, "" for none."""
    rows = list(findings)
    return write(rows) if rows else ""


def findings_from(rows: Iterable[list[object]]) -> Iterator[Finding]:
    """Read findings back."""
    for row in rows:
        yield Finding._make(tuple(value) if isinstance(value, list) else value for value in row)


class RulesDigests:
    """Which of the bench's own files have a say in what is found in a job: all but the board files of other designs.

    `whole` is the digest of all of them.
    """

    def __init__(self, own: Iterable[tuple[str, str]]) -> None:
        """Take path and blob of each own file, or in place of a blob why the file cannot be read."""
        files = sorted(
            (path, blob) for path, blob in own if kind_of(path) != "clients"
        )  # no job is held to clients
        boards = {_design(path): blob for path, blob in files if kind_of(path) == "board"}
        self.whole = _digest(files)
        self._rest = _digest([*boards, *(one for one in files if kind_of(one[0]) != "board")])
        self._boards = {design: self._rest + blob for design, blob in boards.items()}

    def of(self, design: str) -> str:
        """Give the digest for jobs of a design."""
        return self._boards.get(design, self._rest)


def _design(path: str) -> str:
    """Name the design of a board file, as a job names it."""
    return path.removeprefix("boards/").removesuffix(".toml")


def _digest(told: Sequence[object]) -> str:
    return sha1(repr(told).encode("utf-8", "surrogateescape"), usedforsecurity=False).hexdigest()
