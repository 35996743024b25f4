"""The jobs of a book as rules ask for them: each is read when it is first asked for, and only once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Any, TypeVar

from jobkit.book.cache.packed import Packed, unpack
from jobkit.book.read.facts import Row, known_rows
from jobkit.book.read.load import OpenBook, load_job
from jobkit.book.shelf.opening import ShelfError
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts

_Seen = TypeVar("_Seen")


class JobsAtHand:
    """The facts of jobs, by the name of their file; a file that cannot be read has none."""

    def __init__(self, book: OpenBook, *, is_whole: bool = False) -> None:
        """Take the jobs of a book; `is_whole` where all of them are being checked, so that all may be asked for."""
        self._shelf = book.shelf
        self._paths = book.job_paths
        self.are_whole = is_whole
        self._known: dict[str, Facts | None] = {}
        self._packed: dict[str, Packed] = {}
        self._seen: dict[Callable[..., Any], Any] = {}

    @cached_property
    def _by_name(self) -> dict[str, list[str]]:
        by_name: dict[str, list[str]] = {}
        for path in self._paths:
            by_name.setdefault(_stem(path), []).append(path)
        return by_name

    @cached_property
    def _kept(self) -> dict[str, Row]:
        return known_rows(self._shelf, self._paths)

    def put(self, facts: Facts) -> None:
        """Take in facts that are known already."""
        self._known[facts.path] = facts

    def put_packed(self, packed: dict[str, Packed]) -> None:
        """Take over facts that are known already, by path: empty for a file that cannot be read.

        They are taken out as they are asked for: of a large book, both forms at once are a tenth of all memory.
        """
        self._packed = packed

    def _paths_named(self, job_id: str) -> Sequence[str]:
        return self._by_name.get(job_id, ())

    def sharing_a_name(self) -> list[str]:
        """Name the files whose name another file has too."""
        if len(set(map(_stem, self._paths))) == len(self._paths):
            return []
        return [path for paths in self._by_name.values() if len(paths) > 1 for path in paths]

    def named(self, job_id: str) -> tuple[Facts, ...]:
        """Give the facts of every job whose file has this name."""
        return tuple(facts for path in self._paths_named(job_id) if (facts := self.at(path)))

    def all(self) -> tuple[Facts, ...]:
        """Give the facts of every job that can be read."""
        return tuple(facts for path in self._paths if (facts := self.at(path)))

    def whole(self) -> tuple[Facts, ...]:
        """Give the facts of every job where all have been read already, else none."""
        return self.all() if self.are_whole else ()

    def once(self, look: Callable[[tuple[Facts, ...], Bench], _Seen], bench: Bench) -> _Seen:
        """Give what `look` makes of the whole book, looking once; of no job where not all have been read."""
        if look not in self._seen:
            facts = self.whole()
            if not facts:
                return look((), bench)
            self._seen[look] = look(facts, bench)
        seen: _Seen = self._seen[look]
        return seen

    def at(self, path: str) -> Facts | None:
        """Give the facts of the job in a file, None where it cannot be read."""
        if path not in self._known:
            self._known[path] = self._found(path)
        return self._known[path]

    def _found(self, path: str) -> Facts | None:
        if path in self._packed:
            packed = self._packed.pop(path)
        elif self.are_whole and path in self._kept:
            packed = self._kept[path].packed
        else:
            return self._read(path)
        return unpack(packed) if packed else None

    def _read(self, path: str) -> Facts | None:
        try:
            job = load_job(path, self._shelf.read(path)).job
        except ShelfError:
            return None
        return facts_of(job) if job else None


def _stem(path: str) -> str:
    return path[path.rfind("/") + 1 :].removesuffix(".toml")
