"""The SQLite file of a store: opened so that nothing in it can run, and made again where it is not as it was made.

Whoever could write there could forge answers, so the file is in a folder of the user's own, which `folder` finds.
SQLite still runs nothing that the file says: its tables must be to the letter those asked for, functions that a schema
names are not trusted, and no value may be longer than a bound.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from jobkit.book.cache.code import code_digest

_CODE = "CREATE TABLE code (digest)"
_SETTINGS = (
    "PRAGMA trusted_schema = OFF",
    "PRAGMA cell_size_check = ON",
    "PRAGMA page_size = 16384",  # seven rows of jobs go on a page; on one of 4096 bytes half of the room stays empty
    "PRAGMA synchronous = OFF",  # what a power cut has spoilt is told by its checksum
)
_LONGEST = 1 << 26
TROUBLE = (sqlite3.Error, UnicodeDecodeError)
"""What SQLite raises: the second where its message quotes a damaged file in which there is no text."""
_PATIENCE = 2
"""Seconds to wait for another process that writes."""
_WHY = {
    "SQLITE_BUSY": "another process is writing",
    "SQLITE_CANTOPEN": "it cannot be opened",
    "SQLITE_FULL": "the disk is full",
    "SQLITE_IOERR": "the disk does not answer",
    "SQLITE_READONLY": "it is read-only",
}


def open_database(path: Path | None, tables: Sequence[str]) -> sqlite3.Connection:
    """Open a file that has these tables, or make it; without a path all is in memory. Raises `TROUBLE`."""
    database = sqlite3.connect(path or ":memory:", timeout=_PATIENCE, isolation_level=None)
    try:
        database.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LONGEST)
        for setting in _SETTINGS:
            database.execute(setting)
        _make_current(database, [_CODE, *tables])
    except BaseException:
        database.close()
        raise
    return database


def _make_current(database: sqlite3.Connection, tables: list[str]) -> None:
    """Make the tables where there are none; empty them where other code has filled them.

    What is there is looked at again once no other process can write, as another one may have made the tables meanwhile.
    """
    if _is_current(database, tables):
        return
    with writing(database):
        if _is_current(database, tables):
            return
        for table in tables if not _tables_there(database) else ():
            database.execute(table)
        for name in [sql.split()[2] for sql in tables if sql.startswith("CREATE TABLE ")]:
            database.execute(f"DELETE FROM {name}")  # noqa: S608 - a name of ours
        database.execute("INSERT INTO code VALUES (?)", (code_digest(),))


def _is_current(database: sqlite3.Connection, tables: list[str]) -> bool:
    """Tell whether this code filled the tables; raises sqlite3.DatabaseError where the file has other tables."""
    there = _tables_there(database)
    if there and there != tables:
        raise sqlite3.DatabaseError("other tables")
    return bool(there) and database.execute("SELECT digest FROM code").fetchall() == [(code_digest(),)]


def _tables_there(database: sqlite3.Connection) -> list[str]:
    return [sql for (sql,) in database.execute("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL")]


@contextmanager
def writing(database: sqlite3.Connection) -> Iterator[None]:
    """Write all that is written meanwhile, or nothing of it."""
    database.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        with suppress(sqlite3.Error):
            database.execute("ROLLBACK")
        raise
    database.execute("COMMIT")


def reason(error: Exception) -> str:
    """Say why a store cannot be used now; "" where its file is damaged, or not one of ours."""
    name = getattr(error, "sqlite_errorname", "")
    return next((why for beginning, why in _WHY.items() if name.startswith(beginning)), "")


def remove_database(path: Path) -> None:
    """Take away a file that is damaged, and what SQLite left beside it."""
    for name in (path.name, f"{path.name}-journal"):
        with suppress(OSError):
            path.with_name(name).unlink()
