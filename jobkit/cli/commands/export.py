"""`jobkit export`: the book as tables in JSON Lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, On, Rev, book_folders
from jobkit.cli.call.streams import answer
from jobkit.units.errors import in_one_line

if TYPE_CHECKING:
    from jobkit.book.disk.named import Place
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.finding import Finding
    from jobkit.pages.tables.export import Row

app = plain_app()


@app.command()
def export(
    ctx: typer.Context,
    folder: Annotated[str, typer.Argument(metavar="DIR", help="Folder for the tables; created if missing.")],
    on: On = None,
    rev: Rev = None,
    book: Books = None,
) -> None:
    """Write jobs, readings, work, parts used, trials and findings as JSON Lines, one file a table and year.

    Any query engine that reads JSON Lines can read DIR. A second run writes the same bytes; years that are no longer in
    the book are removed.
    """
    from jobkit.cli.call.rollup import names_of
    from jobkit.cli.call.target_folder import target_folder
    from jobkit.pages.tables.export import NAMES

    roots = tuple(dict.fromkeys(book_folders(ctx, book)))
    target = target_folder(folder, roots)
    names = names_of(roots) if len(roots) > 1 else [""]
    books = [_book(root, name, rev, on) for root, name in zip(roots, names, strict=True)]
    lines = _write(books, target)
    answer(f"{in_one_line(str(folder))}: {', '.join(f'{lines[table]} {table}' for table in NAMES)}\n")


class _Exported(NamedTuple):
    """A book to export, its name where there are several, and what lint says of it."""

    name: str
    book: OpenBook
    findings: list[Finding]


def _book(root: Path, name: str, rev: str | None, on: str | None) -> _Exported:
    from jobkit.book.read.load import open_book
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.check.checking import check
    from jobkit.cli.check.lint_call import LintCall

    shelf = shelf_of(root, rev=rev)
    report = check(root, shelf, LintCall(on=on))
    # The tables are handed on: what is wrong in private/ stays with the bench.
    findings = [one for one in report.findings if not one.file.startswith("private/")]
    return _Exported(name, open_book(shelf), findings)


def _write(books: Sequence[_Exported], target: Place) -> dict[str, int]:
    """Write year by year, holding one job at a time, and count the lines of each table."""
    from jobkit.book.write.partitions import Partitions, remove_stale
    from jobkit.pages.tables.export import NAMES, as_line, of_year

    years = {of_year(path) for one in books for path in one.book.job_paths}
    years |= {of_year(finding.file) for one in books for finding in one.findings}
    written: dict[str, set[str]] = {table: set() for table in NAMES}
    lines = dict.fromkeys(NAMES, 0)
    for year in sorted(years):
        with Partitions(target, year) as part:
            for one in books:
                for table, row in _rows(one, year):
                    part.add(table, as_line(row))
        for table, count in part.lines.items():
            written[table].add(year)
            lines[table] += count
    remove_stale(target, written)
    return lines


def _rows(one: _Exported, year: str) -> Iterator[tuple[str, Row]]:
    """Yield the rows of a book that belong to a year, each with its table."""
    from jobkit.book.read.load import load_jobs
    from jobkit.pages.tables.export import finding_row, in_book, of_year, rows_of

    paths = [path for path in one.book.job_paths if of_year(path) == year]
    of_jobs = (
        pair
        for loaded in load_jobs(one.book.shelf, paths)
        if loaded.job
        for pair in rows_of(loaded.job, one.book.bench)
    )
    found = (("findings", finding_row(each)) for each in one.findings if of_year(each.file) == year)
    for table, row in chain(of_jobs, found):
        yield table, in_book(one.name, row) if one.name else row
