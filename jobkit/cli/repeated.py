"""The same question asked again of the same book on the same day: the answer is kept whole.

What the answer depends on is told without reading a job or loading a rule: the code, the day, the bench's own files by
content, and what git says of all the others.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from hashlib import sha1
from typing import Any

from jobkit.book import git
from jobkit.book.git_tree import GitTree
from jobkit.book.shelf import ShelfError
from jobkit.cli.clock import today_in
from jobkit.jobs.finding import Finding
from jobkit.lint.report import Report

_NAME = "answer"
_KINDS = ("job", "board", "bench", "meters", "stock", "clients")


class Repeated:
    """The answer of a lint of a whole working tree, kept under all that it depends on."""

    def __init__(self, shelf: GitTree, on: str | None) -> None:
        self._shelf = shelf
        self._on = on
        self._kept: Any = shelf.keep.load(_NAME) if shelf.keep else None

    def report(self) -> Report | None:
        """Give the answer that is kept, None where there is none for just this."""
        if not self._kept:
            return None
        key, zone, files, findings = self._kept
        if key is None or key != self._key(zone):
            return None
        return Report(files, tuple(Finding._make(found) for found in findings))

    def keep(self, report: Report, zone: str) -> None:
        """Keep an answer, where the question can be told from others."""
        key = self._key(zone)
        if key and self._shelf.keep and not report.commits:
            found = tuple(tuple(finding) for finding in report.findings)
            self._shelf.keep.store(_NAME, (key, zone, report.files, found))

    def _key(self, zone: str) -> bytes | None:
        """Digest all that the answer depends on; None where that cannot be told.

        `zone` is the bench's time zone as bench.toml had it: its content is in the digest, so it still has it.
        """
        mark, today = self._shelf.mark, self._today(zone)
        if mark is None or not today:
            return None
        own = [(path, _content(self._shelf, path)) for path in self._shelf.own_paths()]
        schemas = [_content(self._shelf, f"schema/{kind}.schema.json") for kind in _KINDS]
        head = self._shelf.head
        told = (mark, today, own, schemas, head, self._shelf.private())
        return sha1(repr(told).encode("utf-8", "surrogateescape"), usedforsecurity=False).digest()

    def _today(self, zone: str) -> str:
        if self._on is None:
            return today_in(zone)
        with suppress(ValueError):
            return date.fromisoformat(self._on).isoformat()
        return ""


def _content(shelf: GitTree, path: str) -> object:
    try:
        return git.blob_id(shelf.read(path))
    except ShelfError as error:
        return str(error)
