"""The facts of every job in a book: what roll-ups and rules across jobs run on.

Every bulk read of jobs goes through here, so that what is kept of files whose content has not changed is used.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.cache.packed import Packed, pack, unpack
from jobkit.book.read.load import Loaded, OpenBook, load_jobs
from jobkit.book.read.parallel import in_parts
from jobkit.book.shelf.opening import Index, Revision, Shelf
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts

_NAME = "facts"
_FEW = 20
"""So many files are sooner read again than all that is kept of a large book written anew."""
_SMALL = 500
_PART = 1000
"""So many rows are written at once."""


class Row(NamedTuple):
    """What is kept of a job file: the id of its content, and its facts, packed (empty where it is no TOML)."""

    blob: str
    packed: Packed


def all_facts(book: OpenBook) -> tuple[Facts, ...]:
    """Boil every job of the book down to its facts; files that are no TOML are left to lint."""
    shelf = book.shelf
    rows = known_rows(shelf, book.job_paths)
    lacking = [path for path in book.job_paths if path not in rows]
    fresh = {path: Row(blob, packed) for path, blob, packed in in_parts(partial(_read, shelf), lacking)}
    keep_rows(shelf, rows, fresh)
    rows |= fresh
    return tuple(unpack(packed) for path in book.job_paths if (packed := rows[path].packed))


def _read(shelf: Shelf, paths: Iterable[str]) -> Iterator[tuple[str, str, Packed]]:
    for loaded in load_jobs(shelf, paths):
        yield loaded.path, content_id(loaded, shelf), pack(facts_of(loaded.job)) if loaded.job else ()


def content_id(loaded: Loaded, shelf: Shelf) -> str:
    """Give the id of the content that was read, which is what an answer about it is kept by; "" where none was."""
    return git.blob_id(loaded.content, shelf.hashing) if loaded.content and shelf.keep else ""


def read_facts_ahead(shelf: Shelf) -> None:
    """Load what is kept of facts before git has said which of it still counts."""
    if shelf.keep:
        shelf.keep.read_ahead(_NAME)


def known_rows(shelf: Shelf, paths: Iterable[str]) -> dict[str, Row]:
    """Give what is kept of those files whose content is still the same."""
    kept: dict[str, tuple[str, Packed]] = {}
    for part in shelf.keep.load_parts(_NAME) if shelf.keep else ():
        kept |= part
    blobs = shelf.blobs(path for path in paths if path in kept) if kept else {}
    return {path: Row._make(kept[path]) for path, blob in blobs.items() if kept[path][0] == blob}


def keep_rows(shelf: Shelf, known: dict[str, Row], fresh: dict[str, Row]) -> None:
    """Keep what was read anew beside what was known, and forget all else."""
    if shelf.keep and is_worth_keeping(shelf, len(known), len(fresh)):
        shelf.keep.store_parts(_NAME, _by_part([*known.items(), *fresh.items()]))


def _by_part(rows: Sequence[tuple[str, Row]]) -> Iterator[dict[str, tuple[str, Packed]]]:
    for start in range(0, len(rows), _PART):
        yield {path: (row.blob, row.packed) for path, row in rows[start : start + _PART] if row.blob}


def is_worth_keeping(shelf: Shelf, known: int, fresh: int) -> bool:
    """Tell whether so many fresh answers beside so many known ones are worth writing all of them.

    The working tree is what is asked about most; an index or a commit adds to what is kept only where there is nothing.
    """
    if known and isinstance(shelf, Index | Revision):
        return False
    return fresh > _FEW or (fresh > 0 and known < _SMALL)
