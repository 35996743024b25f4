"""The facts of jobs: what roll-ups and rules across jobs run on.

What is kept of files whose content has not changed is recalled; the others are read, and kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from jobkit.book.cache.facts_row import unpack
from jobkit.book.cache.store import Cache, Key
from jobkit.book.read.current import is_current, note_current
from jobkit.book.read.load import OpenBook
from jobkit.book.read.rows import forget_others, read_rows, rows_of_facts
from jobkit.jobs.facts import Facts


def all_facts(book: OpenBook) -> tuple[Facts, ...]:
    """Boil every job of the book down to its facts; files that are not TOML are left to lint."""
    return read_facts(book)[0]


def read_facts(book: OpenBook) -> tuple[tuple[Facts, ...], int]:
    """Give what `all_facts` gives, and how many files of jobs there are."""
    if book.cache and is_current(book):
        rows: dict[str, Sequence[str]] = {path: row for path, _, *row in book.cache.facts_here()}
    else:
        rows = _compared(book)
    count = len(rows)
    return tuple(facts for path in sorted(rows) if (facts := unpack(rows.pop(path)))), count


def _compared(book: OpenBook) -> dict[str, Sequence[str]]:
    """Go through all jobs: recall the facts of those whose content is known, and read the others."""
    rows: dict[str, Sequence[str]] = {}
    blobs = book.shelf.blobs(book.job_paths) if book.cache else {}
    for path, blob, *row in book.cache.facts() if book.cache else ():
        if blobs.get(path) == blob:
            rows[path] = row
    lacking = [path for path in book.job_paths if path not in rows]
    for made, _ in read_rows(book, lacking, rows_of_facts):
        rows[made.check.path] = made.facts
    if lacking:
        forget_others(book, blobs)
    note_current(book, blobs)
    return rows


def known_facts(cache: Cache | None, keys: Iterable[Key]) -> dict[Key, Facts | None]:
    """Recall the facts of a few jobs by path and blob; None for a file that is not TOML."""
    kept = cache.facts(keys) if cache else ()
    return {(path, blob): unpack(row) for path, blob, *row in kept}
