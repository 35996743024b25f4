"""Books written out as tables: which years changed, their lines made in several processes, and the files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache, partial
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

from jobkit.book.cache.code import code_digest
from jobkit.book.disk.named import Place
from jobkit.book.read.load import OpenBook, load_jobs
from jobkit.book.read.parallel import map_in_processes
from jobkit.book.write.export_notes import Year, forget_notes, is_as_noted, read_notes, stamps, write_notes
from jobkit.book.write.partitions import path_of, remove_stale, write_beside, write_part
from jobkit.named_tuple import NamedTuple
from jobkit.pages.tables import engine_types, export
from jobkit.pages.tables.export import NAMES, Row, as_line, in_book, of_year, rows_of
from jobkit.units.errors import MisuseError

FORMS = {"jsonl": "jsonl", "parquet": "parquet"}
"""The forms of tables, each with the end of its files' names."""

Lines = dict[str, list[str]]
"""Lines of JSON by table."""


class Exported(NamedTuple):
    """A book to export.

    `name` is that of its folder; `many` tells whether its jobs are to be told apart from those of other books by that
    name. `across` are the rows that depend on more than one job, each with its part and its table.
    """

    name: str
    many: bool
    book: OpenBook
    across: Sequence[tuple[str, str, Row]]

    def line(self, row: Row) -> str:
        """Write a row of this book as a line."""
        named = {"book": self.name, **row}
        return as_line(in_book(self.name, named) if self.many else named)

    def paths(self, year: str) -> list[str]:
        """Return the job files of a year."""
        return [path for path in self.book.job_paths if of_year(path) == year]


def write_tables(books: Sequence[Exported], target: Place, form: str) -> tuple[dict[str, int], int]:
    """Write the tables of books; return the lines of each, and how many years had to be written.

    A year whose jobs, own files and findings are those of the last export is left as it is. Raises DiskError.
    """
    suffix = FORMS[form]
    years = sorted({part for one in books for part in _parts(one)})
    digests = {year: _digest(books, year, form) for year in years}
    notes = read_notes(target)
    same = {
        year: note
        for year, note in notes.items()
        if digests.get(year) == note.digest and is_as_noted(target, note)
    }
    if same.keys() != notes.keys() or len(same) < len(years):
        forget_notes(target)
    now = {year: same.get(year) or _write(books, target, year, suffix, digests[year]) for year in years}
    tables = [table for table in NAMES if any(table in note.lines for note in now.values())]
    written = {table: {year for year, note in now.items() if table in note.lines} for table in NAMES}
    remove_stale(target, written, suffix)
    write_beside(target, "views.sql", engine_types.views(tables, suffix).encode())
    write_beside(target, "columns.json", engine_types.columns_json(NAMES).encode())
    write_notes(target, now)
    lines = {table: sum(note.lines.get(table, 0) for note in now.values()) for table in NAMES}
    return lines, len(years) - len(same)


def _parts(one: Exported) -> Iterator[str]:
    yield from map(of_year, one.book.job_paths)
    yield from (part for part, _, _ in one.across)


def _write(books: Sequence[Exported], target: Place, year: str, suffix: str, digest: str) -> Year:
    """Write the files of one year."""
    lines: Lines = {}
    for one in books:
        _add(lines, _of_jobs(one, year))
        for part, table, row in one.across:
            if part == year:
                lines.setdefault(table, []).append(one.line(row))
    files = {table: path_of(table, year, suffix) for table in lines}
    for table, path in files.items():
        write_part(target, path, _content(table, "".join(lines[table]).encode(), suffix))
    return Year(digest, {table: len(those) for table, those in lines.items()}, stamps(target, files.values()))


def _of_jobs(one: Exported, year: str) -> Iterator[Lines]:
    """Yield the lines of each job of a year in the order of their files, made in several processes."""
    paths = one.paths(year)
    with one.book.watch(f"writing {year}", len(paths)) as tell:
        made: dict[str, Lines] = dict(map_in_processes(partial(_lines_of, one), paths, tell))
    return (made[path] for path in paths)


def _lines_of(one: Exported, paths: Sequence[str]) -> Iterator[tuple[str, Lines]]:
    for loaded in load_jobs(one.book.shelf, paths):
        lines: Lines = {}
        for table, row in rows_of(loaded.job, one.book.bench) if loaded.job else ():
            lines.setdefault(table, []).append(one.line(row))
        yield loaded.path, lines


def _add(lines: Lines, more: Iterator[Lines]) -> None:
    for each in more:
        for table, those in each.items():
            lines.setdefault(table, []).extend(those)


def _content(table: str, lines: bytes, suffix: str) -> bytes:
    if suffix == "jsonl":
        return lines
    # Loaded only here: it takes longer than a small export.
    from jobkit.pages.tables.parquet import as_parquet

    return as_parquet(table, lines)


def check_form(form: str) -> None:
    """Refuse a form that is not there, or whose library is missing; raises MisuseError."""
    if form not in FORMS:
        raise MisuseError(f'there is no format "{form}" here', f"choose one of {', '.join(FORMS)}")
    if form == "parquet" and find_spec("pyarrow") is None:
        raise MisuseError(
            "parquet needs the package pyarrow", "install it with `pip install 'jobkit[parquet]'`"
        )


def _digest(books: Sequence[Exported], year: str, form: str) -> str:
    """Digest all that the rows of a year follow from: code, own files, the job files of the year, rows across jobs."""
    found = sha256(_code())
    found.update(form.encode())
    for one in books:
        found.update(f"\0{one.name}\0{one.many}".encode("utf-8", "surrogateescape"))
        for own in one.book.own:
            found.update(own.path.encode("utf-8", "surrogateescape") + sha256(own.content).digest())
        for path, content in one.book.shelf.read_many(one.paths(year)):
            told = content if isinstance(content, bytes) else str(content).encode("utf-8", "surrogateescape")
            found.update(path.encode("utf-8", "surrogateescape") + sha256(told).digest())
        found.update("".join(one.line(row) for part, _, row in one.across if part == year).encode())
    return found.hexdigest()


@cache
def _code() -> bytes:
    """Digest the code that makes the rows."""
    found = sha256(code_digest())
    for path in sorted(Path(export.__file__).parent.glob("*.py")):
        found.update(path.read_bytes())
    return found.digest()


def counted(lines: Mapping[str, int]) -> str:
    """Say how many lines each table has."""
    return ", ".join(f"{lines[table]} {table}" for table in NAMES)
