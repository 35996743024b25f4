"""The store of a book: a row for each job file and each content that it was seen with.

A row holds what was calculated from that content: the facts of the job, and what lint found. It counts while its
checksums fit and the code that made it is the code that reads it. Trouble with the store never stops anything:
`complain` gets a line, once, and what was kept is calculated again.
"""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any

from jobkit.book.cache.database import TROUBLE, open_database, reason, remove_database, writing
from jobkit.book.cache.facts_row import FactsRow
from jobkit.named_tuple import NamedTuple

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


class SearchRow(NamedTuple):
    """What a job is looked for by, beside its design; "" for nothing.

    `teaches` is "1" where it may say what good boards of its design read; `came_back` names the job whose board came
    back with the same fault as this one.
    """

    serial: str = ""
    last_day: str = ""
    teaches: str = ""
    came_back: str = ""


class JobRow(NamedTuple):
    """All that is kept of a job file with one content."""

    check: CheckRow
    facts: FactsRow = FactsRow()
    search: SearchRow = SearchRow()


_FACTS = ("path", "blob", *FactsRow._fields)
_JOB = (*CheckRow._fields, "check_sum", *SearchRow._fields, *FactsRow._fields, "facts_sum")
_TABLES = (
    f"CREATE TABLE job ({', '.join(_JOB)}, here, PRIMARY KEY (path, blob))",
    "CREATE INDEX job_of_design ON job (design)",
    "CREATE INDEX job_of_serial ON job (serial)",
    "CREATE INDEX job_here ON job (path) WHERE here",
    "CREATE INDEX job_that_came_back ON job (path, came_back, last_day, here) WHERE came_back <> ''",
    "CREATE TABLE answer (name PRIMARY KEY, key, value, sum)",
)
_PUT = (
    f"INSERT INTO job VALUES ({', '.join('?' * len(_JOB))}, 0) ON CONFLICT DO UPDATE SET "  # noqa: S608 - names of ours
    + ", ".join(f"{name} = excluded.{name}" for name in _JOB)
)
_ANSWER = "INSERT OR REPLACE INTO answer VALUES (?, ?, ?, ?)"
_TREE = "tree"
_TAUGHT = (
    "SELECT group_concat(path || blob) FROM"
    " (SELECT path, blob FROM job WHERE here AND design = ? AND teaches <> '' ORDER BY path)"
)
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

    def __del__(self) -> None:
        """Close the file with the last that uses the store; Python 3.13 and later warn of one left open."""
        if self._database:
            self._database.close()

    def open(self) -> None:
        """Open the store before it is asked, while others are at work."""
        list(self._ask("SELECT 1", [()]))

    def checks(self, keys: Iterable[Key] | None = None) -> Iterator[tuple[str, ...]]:
        """Yield the columns of `CheckRow` of the jobs with these keys, of all where none are named."""
        return self._jobs(CheckRow._fields, "check_sum", keys)

    def facts(self, keys: Iterable[Key] | None = None) -> Iterator[tuple[str, ...]]:
        """Yield path, blob and the columns of `FactsRow` of the jobs with these keys, of all where none are named."""
        return self._jobs(_FACTS, "facts_sum", keys)

    def tree(self) -> str:
        """Tell of which state of the working tree the rows are that `facts_here` yields; "" where there is none."""
        count, _, state = (self.answer(_TREE, "") or "").partition(" ")
        there = next(self._ask("SELECT count(*) FROM job WHERE here", [()]), ("",))
        return state if count == str(there[0]) else ""

    def set_tree(self, state: str, gone: Iterable[str] | None, come: Iterable[Key]) -> None:
        """Note a state of the working tree: the rows of these paths (None: all) are not of it, those that come are."""
        try:
            database = self._opened()
            if database is None:
                return
            with writing(database):
                if gone is None:
                    database.execute("UPDATE job SET here = 0 WHERE here")
                database.executemany(
                    "UPDATE job SET here = 0 WHERE path = ?", [(path,) for path in gone or ()]
                )
                keys = list(come)
                done = database.executemany("UPDATE job SET here = 1 WHERE path = ? AND blob = ?", keys)
                if keys and done.rowcount != len(keys):
                    state = (
                        ""  # one was changed after it was asked about, so its row is that of another content
                    )
                (count,) = database.execute("SELECT count(*) FROM job WHERE here").fetchone()
                row = (_TREE, "", f"{count} {state}")
                database.execute(_ANSWER, (*row, _sum(row)))
        except TROUBLE as error:
            self._fail(error)

    def facts_here(
        self, where: Mapping[str, str] = MappingProxyType({}), since: str = ""
    ) -> Iterator[tuple[str, ...]]:
        """Yield what `facts` yields, of the jobs of the working tree that have these values, dated later than a day."""
        asked = " AND ".join(("WHERE here", "last_day >= ?", *(f"{name} = ?" for name in where)))
        return _unspoilt(self._ask(_select(_FACTS, "facts_sum", asked), [(since, *where.values())]))

    def taught_by(self, design: str) -> str:
        """Name in one text the jobs of the working tree that may teach what is usual of a design, by path and blob."""
        return next(self._ask(_TAUGHT, [(design,)]), ("",))[0] or ""

    def came_back(self) -> list[tuple[str, ...]]:
        """Tell which jobs of the working tree came back with the same fault: path, as which job, last day."""
        question = "SELECT came_back, path, last_day FROM job WHERE came_back <> '' AND here ORDER BY path"
        return list(self._ask(question, [()]))

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
        self._write(_ANSWER, [(*row, _sum(row))])

    def _jobs(
        self, columns: Sequence[str], checksum: str, keys: Iterable[Key] | None
    ) -> Iterator[tuple[str, ...]]:
        if keys is None:
            return _unspoilt(self._ask(_select(columns, checksum), [()]))
        return _unspoilt(self._ask(_select(columns, checksum, "WHERE path = ? AND blob = ?"), keys))

    def _ask(self, question: str, about: Iterable[Sequence[str]]) -> Iterator[tuple[Any, ...]]:
        """Yield the rows of each answer; none are in memory that are not used any more."""
        try:
            database = self._opened()
            if database:
                for one in about:
                    yield from database.execute(question, one)
        except TROUBLE as error:
            self._fail(error)

    def _write(self, statement: str, rows: Sequence[Sequence[Any]]) -> bool:
        try:
            database = self._opened()
            if database:
                with writing(database):
                    database.executemany(statement, rows)
        except TROUBLE as error:
            self._fail(error)
        return self._database is not None

    def _opened(self) -> sqlite3.Connection | None:
        if self._database is None and not self._has_failed:
            self._database = open_database(self._path, _TABLES)
        return self._database

    def _fail(self, error: Exception) -> None:
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
    return (*row.check, _sum(row.check), *row.search, *row.facts, _sum(facts))


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
