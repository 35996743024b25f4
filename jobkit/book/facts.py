"""The facts of every job in a book: what roll-ups and rules across jobs run on.

Every bulk read of jobs goes through `all_facts`, so that a cache keyed by blob id has one place to sit.
"""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.book.load import OpenBook, load_jobs
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts


def all_facts(book: OpenBook) -> tuple[Facts, ...]:
    """Boil every job of the book down to its facts; files that are no TOML are left to lint."""
    return tuple(_facts(book))


def _facts(book: OpenBook) -> Iterator[Facts]:
    for loaded in load_jobs(book.shelf, book.job_paths):
        if loaded.job:
            yield facts_of(loaded.job)
