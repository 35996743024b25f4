"""The jobs of a book as rules ask for them: each is read when it is first asked for, and only once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePosixPath
from typing import Any, TypeVar

from jobkit.book.load import OpenBook, load_job
from jobkit.book.shelf import ShelfError
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts

_Seen = TypeVar("_Seen")


class JobsAtHand:
    """The facts of jobs, by the name of their file; a file that cannot be read has none."""

    def __init__(self, book: OpenBook) -> None:
        self._shelf = book.shelf
        self._paths = book.job_paths
        self._known: dict[str, Facts | None] = {}
        self._by_name: dict[str, list[str]] = {}
        self._seen: dict[Callable[..., Any], Any] = {}
        for path in book.job_paths:
            self._by_name.setdefault(PurePosixPath(path).stem, []).append(path)

    def put(self, facts: Facts) -> None:
        """Take in facts that are known already."""
        self._known[facts.path] = facts

    def named(self, job_id: str) -> tuple[Facts, ...]:
        """Give the facts of every job whose file has this name."""
        return tuple(facts for path in self._by_name.get(job_id, ()) if (facts := self._at(path)))

    def all(self) -> tuple[Facts, ...]:
        """Give the facts of every job that can be read."""
        return tuple(facts for path in self._paths if (facts := self._at(path)))

    def whole(self) -> tuple[Facts, ...]:
        """Give the facts of every job where all have been read already, else none."""
        if any(path not in self._known for path in self._paths):
            return ()
        return self.all()

    def once(self, look: Callable[[tuple[Facts, ...], Bench], _Seen], bench: Bench) -> _Seen:
        """Give what `look` makes of the whole book, looking once; of no job where not all have been read."""
        if look not in self._seen:
            facts = self.whole()
            if not facts:
                return look((), bench)
            self._seen[look] = look(facts, bench)
        seen: _Seen = self._seen[look]
        return seen

    def _at(self, path: str) -> Facts | None:
        if path not in self._known:
            self._known[path] = self._read(path)
        return self._known[path]

    def _read(self, path: str) -> Facts | None:
        try:
            job = load_job(path, self._shelf.read(path)).job
        except ShelfError:
            return None
        return facts_of(job) if job else None
