"""Jobs read from their files, in several processes where they are many, and kept as rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import islice
from typing import Any

from jobkit.book import git
from jobkit.book.cache.facts_row import FactsRow, pack
from jobkit.book.cache.store import CheckRow, JobRow, SearchRow
from jobkit.book.read.load import Loaded, OpenBook, load_jobs
from jobkit.book.read.parallel import map_in_processes
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.serial import serial_key

MANY = 500
"""More rows than these are recalled sooner all at once than one by one."""

_AT_ONCE = 100
"""So many rows are kept at once: of more, the memory that they take is not given back."""

RowsOf = Callable[[Iterable[Loaded], OpenBook], Iterable[JobRow]]
"""Makes the row of each job; it runs in another process."""


def read_rows(book: OpenBook, paths: Sequence[str], rows_of: RowsOf) -> Iterator[tuple[JobRow, bool]]:
    """Read jobs and make their rows; yield each with whether it is kept."""
    with book.watch("reading jobs", len(paths)) as tell:
        made = (
            JobRow(CheckRow._make(check), FactsRow._make(facts), SearchRow._make(search))
            for check, facts, search in map_in_processes(partial(_plain_rows, book, rows_of), paths, tell)
        )
        while some := list(islice(made, _AT_ONCE)):
            is_kept = bool(book.cache and book.cache.put(row for row in some if row.check.blob))
            yield from ((row, is_kept) for row in some)


def forget_others(book: OpenBook, blobs: dict[str, str]) -> None:
    """Forget what is kept of contents that the working tree no longer has, where they have become many."""
    if book.cache and isinstance(book.shelf, Tree) and len(blobs) == len(book.job_paths):
        book.cache.forget_others(blobs.items())


def rows_of_facts(jobs: Iterable[Loaded], book: OpenBook) -> Iterator[JobRow]:
    """Make rows of jobs that are not checked."""
    for loaded in jobs:
        check = CheckRow(loaded.path, blob_read(loaded, book))
        facts = facts_of(loaded.job) if loaded.job else None
        if facts is None:
            yield JobRow(check)
        else:
            yield JobRow(check._replace(design=facts.design), pack(facts), search_row(facts))


def search_row(facts: Facts) -> SearchRow:
    """Tell by what a job is looked for."""
    teaches = facts.proof and (facts.finished or facts.known_good)
    came_back = facts.comeback_of if facts.comeback_found == "same-fault" else ""
    return SearchRow(serial_key(facts.serial), facts.last_day, "1" if teaches else "", came_back)


def blob_read(loaded: Loaded, book: OpenBook) -> str:
    """Give git's id of the content that was read, by which its row is kept; "" where none is to be kept."""
    return git.blob_id(loaded.content, book.shelf.hashing) if loaded.content and book.cache else ""


def _plain_rows(book: OpenBook, rows_of: RowsOf, paths: Sequence[str]) -> Iterator[tuple[Any, ...]]:
    """Make rows as plain data, to be sent from one process to another."""
    for row in rows_of(load_jobs(book.shelf, paths), book):
        yield tuple(map(tuple, row))
