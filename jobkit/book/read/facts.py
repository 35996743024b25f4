"""The facts of jobs: what roll-ups and rules across jobs run on.

What is kept of files whose content has not changed is recalled; the others are read, in several processes where they
are many, and kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import islice
from typing import Any

from jobkit.book import git
from jobkit.book.cache.facts_row import FactsRow, pack, unpack
from jobkit.book.cache.store import Cache, CheckRow, JobRow, Key
from jobkit.book.read.load import Loaded, OpenBook, load_jobs
from jobkit.book.read.parallel import map_in_processes
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts

MANY = 500
"""So many rows are kept at once; fewer are looked up one by one."""

RowsOf = Callable[[Iterable[Loaded], OpenBook], Iterable[JobRow]]
"""Makes the row of each job; it runs in another process."""


def all_facts(book: OpenBook) -> tuple[Facts, ...]:
    """Boil every job of the book down to its facts; files that are not TOML are left to lint."""
    rows = _recalled(book)
    lacking = [path for path in book.job_paths if path not in rows]
    for row, _ in read_rows(book, lacking, _rows):
        rows[row.check.path] = row.facts
    return tuple(facts for path in book.job_paths if (facts := unpack(rows.pop(path))))


def _recalled(book: OpenBook) -> dict[str, Sequence[str]]:
    if not book.cache:
        return {}
    blobs = book.shelf.blobs(book.job_paths)
    kept = book.cache.facts()
    return {path: row for path, blob, *row in kept if blobs.get(path) == blob}


def _rows(jobs: Iterable[Loaded], book: OpenBook) -> Iterator[JobRow]:
    for loaded in jobs:
        check = CheckRow(loaded.path, blob_read(loaded, book))
        facts = facts_of(loaded.job) if loaded.job else None
        yield (
            JobRow(check._replace(design=facts.design), pack(facts), facts.serial) if facts else JobRow(check)
        )


def blob_read(loaded: Loaded, book: OpenBook) -> str:
    """Give git's id of the content that was read, by which its row is kept; "" where none is to be kept."""
    return git.blob_id(loaded.content, book.shelf.hashing) if loaded.content and book.cache else ""


def read_rows(book: OpenBook, paths: Sequence[str], rows_of: RowsOf) -> Iterator[tuple[JobRow, bool]]:
    """Read jobs and make their rows; yield each with whether it is kept."""
    made = (
        JobRow(CheckRow._make(check), FactsRow._make(facts), serial)
        for check, facts, serial in map_in_processes(partial(_plain_rows, book, rows_of), paths)
    )
    while some := list(islice(made, MANY)):
        is_kept = bool(book.cache and book.cache.put(row for row in some if row.check.blob))
        yield from ((row, is_kept) for row in some)
    if paths and book.cache and isinstance(book.shelf, Tree):
        book.cache.forget_others(book.shelf.blobs(book.job_paths).items())


def _plain_rows(book: OpenBook, rows_of: RowsOf, paths: Sequence[str]) -> Iterator[tuple[Any, ...]]:
    """Make rows as plain data, to be sent from one process to another."""
    for row in rows_of(load_jobs(book.shelf, paths), book):
        yield tuple(row.check), tuple(row.facts), row.serial


def known_facts(cache: Cache | None, keys: Iterable[Key]) -> dict[Key, Facts | None]:
    """Recall the facts of a few jobs by path and blob; None for a file that is not TOML."""
    kept = cache.facts(keys) if cache else ()
    return {(path, blob): unpack(row) for path, blob, *row in kept}
