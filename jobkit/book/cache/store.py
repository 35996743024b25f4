"""The store of a book: a row for each job file and each content that it was seen with.

A row holds what was calculated from that content: the facts of the job, and what lint found. It counts while its
checksums fit and the code that made it is the code that reads it. Trouble with the store never stops anything:
`complain` gets a line, once, and what was kept is calculated again.
"""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from jobkit.book.cache.database import open_database, reason, remove_database, writing
from jobkit.book.cache.facts_row import FactsRow

Key = tuple[str, str]
"""Path of a job file, and git's id of its content."""


class CheckRow(NamedTuple):
    """What is kept of the check of a job file with one content, all as text; lint's `CheckResult` reads it.

    `rules_digest` tells which of the bench's own files had a say, `opened` which other files, with their contents.
    """

    path: str
    blob: str
    design: str = ""
    rules_digest: str = ""
    opened: str = ""
    last_done: str = ""
    attached: str = ""
    waived: str = ""
    asking: str = ""
    asking_whole: str = ""
    reads: str = ""
    found: str = ""


class JobRow(NamedTuple):
    """All that is kept of a job file with one content."""

    check: CheckRow
    facts: FactsRow = FactsRow()
    serial: str = ""


_FACTS = ("path", "blob", *FactsRow._fields)
_JOB = (*CheckRow._fields, "check_sum", "serial", *FactsRow._fields, "facts_sum")
_TABLES = (
    f"CREATE TABLE job ({', '.join(_JOB)}, PRIMARY KEY (path, blob))",
    "CREATE INDEX job_of_design ON job (design)",
    "CREATE INDEX job_of_serial ON job (serial)",
    "CREATE TABLE answer (name PRIMARY KEY, key, value, sum)",
)
_PUT = f"INSERT OR REPLACE INTO job VALUES ({', '.join('?' * len(_JOB))})"  # noqa: S608 - names of ours
_SPARE = 500
"""So many rows of earlier contents are no reason to look which of them can go."""


class Cache:
    """The store of one book."""

    def __init__(
        self, path: Path | None = None, complain: Callable[[str], None] = lambda _line: None
    ) -> None:
        """Take the file, which need not exist yet, and what is told of trouble; without a file all is in memory."""
        self._path = path
        self._complain = complain
        self._database: sqlite3.Connection | None = None
        self._has_failed = False
        self._ahead: list[tuple[str, ...]] | None = None

    def open(self) -> None:
        """Open the store before it is asked, while others are at work."""
        list(self._ask("SELECT 1", [()]))

    def checks(self, keys: Iterable[Key] | None = None) -> Iterator[tuple[str, ...]]:
        """Yield the columns of `CheckRow` of the jobs with these keys, of all where none are named."""
        return self._jobs(CheckRow._fields, "check_sum", keys)

    def read_ahead(self) -> None:
        """Read the facts of all jobs that will be asked for, while others are at work."""
        self._ahead = list(self.facts())

    def facts(self, keys: Iterable[Key] | None = None) -> Iterator[tuple[str, ...]]:
        """Yield path, blob and the columns of `FactsRow` of the jobs with these keys, of all where none are named."""
        ahead, self._ahead = self._ahead, None
        return iter(ahead) if ahead is not None and keys is None else self._jobs(_FACTS, "facts_sum", keys)

    def facts_of_board(self, design: str, serial: str) -> Iterator[tuple[str, ...]]:
        """Yield what `facts` yields, of the jobs that have this design or this serial; "" stands for none."""
        where = "WHERE (design = ? AND design <> '') OR (serial = ? AND serial <> '')"
        return _unspoilt(self._ask(_select(_FACTS, "facts_sum", where), [(design, serial)]))

    def put(self, rows: Iterable[JobRow]) -> bool:
        """Keep rows, each in place of an earlier one with the same path and blob; tell whether they are kept."""
        columns = [_columns(row) for row in rows if _is_utf_8(row.check.path)]
        return self._write(_PUT, columns)

    def forget_others(self, keys: Iterable[Key]) -> None:
        """Forget all jobs but those with these keys, where the others have become many."""
        kept, there = {*keys}, {*self._ask("SELECT path, blob FROM job", [()])}
        if len(there) > 2 * len(kept) + _SPARE:
            self._write("DELETE FROM job WHERE path = ? AND blob = ?", list(there - kept))

    def answer(self, name: str, key: str) -> str | None:
        """Give the answer that was kept under a name, if `key` tells the same question."""
        rows = self._ask("SELECT name, key, value, sum FROM answer WHERE name = ? AND key = ?", [(name, key)])
        return next((row[2] for row in _unspoilt(rows)), None)

    def put_answer(self, name: str, key: str, value: str) -> None:
        """Keep an answer under a name, in place of the one before."""
        row = (name, key, value)
        self._write("INSERT OR REPLACE INTO answer VALUES (?, ?, ?, ?)", [(*row, _sum(row))])

    def _jobs(
        self, columns: Sequence[str], checksum: str, keys: Iterable[Key] | None
    ) -> Iterator[tuple[str, ...]]:
        if keys is None:
            return _unspoilt(self._ask(_select(columns, checksum), [()]))
        return _unspoilt(self._ask(_select(columns, checksum, "WHERE path = ? AND blob = ?"), keys))

    def _ask(self, question: str, about: Iterable[Sequence[str]]) -> Iterator[tuple[Any, ...]]:
        """Yield the rows of each answer; none are in memory that nobody holds."""
        try:
            database = self._opened()
            if database:
                for one in about:
                    yield from database.execute(question, one)
        except sqlite3.Error as error:
            self._fail(error)

    def _write(self, statement: str, rows: Sequence[Sequence[Any]]) -> bool:
        try:
            database = self._opened()
            if database:
                with writing(database):
                    database.executemany(statement, rows)
        except sqlite3.Error as error:
            self._fail(error)
        return self._database is not None

    def _opened(self) -> sqlite3.Connection | None:
        if self._database is None and not self._has_failed:
            self._database = open_database(self._path, _TABLES)
        return self._database

    def _fail(self, error: sqlite3.Error) -> None:
        """Say what is the matter, and do without the store from here on."""
        why = reason(error)
        if self._database:
            self._database.close()
        self._database, self._has_failed = None, True
        if why:
            self._complain(f"nothing can be kept in {self._path} ({why}), so every call takes longer")
        elif self._path:
            remove_database(self._path)
            self._complain(f"{self._path} is damaged, or not made by jobkit; it will be made again")


def _select(columns: Sequence[str], checksum: str, where: str = "") -> str:
    return f"SELECT {', '.join(columns)}, {checksum} FROM job {where}"  # noqa: S608 - names of ours


def _columns(row: JobRow) -> tuple[Any, ...]:
    facts = (row.check.path, row.check.blob, *row.facts)
    return (*row.check, _sum(row.check), row.serial, *row.facts, _sum(facts))


def _unspoilt(rows: Iterable[tuple[Any, ...]]) -> Iterator[tuple[str, ...]]:
    """Leave out the rows that are not what was written, and the checksums of the others."""
    for row in rows:
        columns = row[:-1]
        if _sum(columns) == row[-1]:
            yield columns


def _sum(columns: Iterable[Any]) -> int:
    """Sum up columns of text; of anything else, which was not written here, there is no sum."""
    try:
        return zlib.crc32("\0".join(columns).encode())
    except TypeError:
        return -1


def _is_utf_8(path: str) -> bool:
    """Tell whether a path can be kept as text; the name of a file may be any bytes."""
    try:
        path.encode()
    except UnicodeEncodeError:
        return False
    return True
