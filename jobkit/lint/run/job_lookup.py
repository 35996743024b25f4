"""The jobs of a book as rules ask for them: the facts of each are recalled or read when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Any, TypeVar

from jobkit.book.cache.facts_row import unpack
from jobkit.book.read.load import OpenBook, load_job
from jobkit.book.shelf.opening import ShelfError
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.lint.check.check_or_recall import CheckedBook
from jobkit.lint.registry import BOOK_CHECKS

_Seen = TypeVar("_Seen")


class JobLookup:
    """The facts of jobs, by the name of their file; a file that cannot be read has none."""

    def __init__(self, book: OpenBook, checked: CheckedBook) -> None:
        """Take a book, and those of its jobs that were checked."""
        self._book = book
        self._checked = checked
        self._known: dict[str, Facts | None] = {}
        self._has_recalled = False
        self._seen: dict[Callable[..., Any], Any] = {}
        self._mentioning: dict[tuple[str, str], tuple[str, ...]] = {}

    @cached_property
    def is_whole(self) -> bool:
        """Tell whether all jobs of the book are being checked, so that all may be asked for."""
        return len(self._checked.results) == len(self._book.job_paths)

    @cached_property
    def _by_name(self) -> dict[str, list[str]]:
        by_name: dict[str, list[str]] = {}
        for path in self._book.job_paths:
            by_name.setdefault(_stem(path), []).append(path)
        return by_name

    def _recall(self) -> None:
        """Take the facts of the checked jobs out of the store, where they have not just been read."""
        results, facts = self._checked.results, self._checked.facts
        read = {"path"}.union(*(rule.reads for rule in BOOK_CHECKS))
        self._known |= {path: unpack(row, read) for path, row in facts.items()}
        if self._book.cache and len(facts) < len(results):
            keys = None if self.is_whole else [(one.path, one.blob) for one in results.values()]
            for path, blob, *row in self._book.cache.facts(keys):
                if path in results and results[path].blob == blob:
                    self._known[path] = unpack(row, read)
        self._has_recalled = True

    def paths_named(self, job_id: str) -> Sequence[str]:
        """Name the job files of a name: none, one, or more by mistake."""
        return self._by_name.get(job_id, ())

    def sharing_a_name(self) -> list[str]:
        """Name the checked files whose name another file has too."""
        return [path for path in self._checked.results if len(self.paths_named(_stem(path))) > 1]

    def named(self, job_id: str) -> tuple[Facts, ...]:
        """Give the facts of every job whose file has this name."""
        return tuple(facts for path in self.paths_named(job_id) if (facts := self.at(path)))

    def mentioning(self, word: str, since: str = "") -> tuple[Facts, ...]:
        """Give the facts of the jobs in whose text a word is, of the folder of a year or later."""
        if (word, since) not in self._mentioning:
            self._mentioning[word, since] = self._book.shelf.jobs_containing(word, since)
        return tuple(facts for path in self._mentioning[word, since] if (facts := self.at(path)))

    def of_board(self, serial: str) -> tuple[Facts, ...]:
        """Give the facts of the jobs of a serial number; a few may be of another."""
        return self.mentioning(serial)

    def all(self) -> tuple[Facts, ...]:
        """Give the facts of every job that can be read."""
        return tuple(facts for path in self._book.job_paths if (facts := self.at(path)))

    def whole(self) -> tuple[Facts, ...]:
        """Give the facts of every job where all are being checked, else none."""
        return self.all() if self.is_whole else ()

    def once(self, look: Callable[[tuple[Facts, ...], Bench], _Seen], bench: Bench) -> _Seen:
        """Give what `look` makes of the whole book, looking once; of no job where not all are being checked."""
        if look not in self._seen:
            self._seen[look] = look(self.whole(), bench)
        seen: _Seen = self._seen[look]
        return seen

    def at(self, path: str) -> Facts | None:
        """Give the facts of the job in a file, None where it cannot be read."""
        if not self._has_recalled:
            self._recall()
        if path not in self._known:
            self._known[path] = self._read(path)
        return self._known[path]

    def _read(self, path: str) -> Facts | None:
        try:
            job = load_job(path, self._book.shelf.read(path)).job
        except ShelfError:
            return None
        return facts_of(job) if job else None


def _stem(path: str) -> str:
    return path[path.rfind("/") + 1 :].removesuffix(".toml")
