"""Which saved jobs are stays of one board, asked of the store."""

from __future__ import annotations

from jobkit.book.read.current import is_current
from jobkit.book.read.load import OpenBook
from jobkit.jobs.serial import serial_key


def jobs_of_board(book: OpenBook, serial: str) -> tuple[str, ...] | None:
    """Name the job files of a serial number, sorted; None where the store does not know them all. Raises GitError."""
    if book.cache is None or not is_current(book):
        return None
    return tuple(sorted(path for path, *_ in book.cache.facts_here({"serial": serial_key(serial)})))
