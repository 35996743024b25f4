"""`jobkit export`: the book as tables in JSON Lines."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, On, Rev, one_book
from jobkit.cli.call.streams import answer
from jobkit.units.errors import MisuseError, in_one_line

if TYPE_CHECKING:
    from jobkit.book.disk.named import Place
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.finding import Finding

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
    from jobkit.book.read.load import open_book
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.check.checking import check
    from jobkit.cli.check.lint_call import LintCall
    from jobkit.pages.tables.export import NAMES

    root = one_book(ctx, book)
    target = _target(folder, root)
    shelf = shelf_of(root, rev=rev)
    report = check(root, shelf, LintCall(on=on))
    # The tables are handed on: what is wrong in private/ stays with the bench.
    findings = [one for one in report.findings if not one.file.startswith("private/")]
    lines = _write(open_book(shelf), findings, target)
    answer(f"{in_one_line(str(folder))}: {', '.join(f'{lines[table]} {table}' for table in NAMES)}\n")


def _target(folder: str, root: Path) -> Place:
    from jobkit.book.disk.errors import in_words
    from jobkit.book.disk.named import place_named

    with in_words(folder, "written"):
        place = place_named(folder)
    target = Path(str(place))
    if target == root or (
        target.is_relative_to(root) and target.relative_to(root).parts[0] in {"jobs", "boards"}
    ):
        raise MisuseError(f"{folder} is the folder of the book", "name a separate folder")
    if target.exists() and not target.is_dir():
        raise MisuseError(f"{folder} is not a folder", "name a folder, new or old")
    return place


def _write(book: OpenBook, findings: list[Finding], target: Place) -> dict[str, int]:
    """Write year by year, holding one job at a time, and count the lines of each table."""
    from jobkit.book.read.load import load_jobs
    from jobkit.book.write.partitions import Partitions, remove_stale
    from jobkit.pages.tables.export import NAMES, as_line, finding_row, of_year, rows_of

    jobs: dict[str, list[str]] = {}
    for path in book.job_paths:
        jobs.setdefault(of_year(path), []).append(path)
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        found.setdefault(of_year(finding.file), []).append(finding)
    written: dict[str, set[str]] = {table: set() for table in NAMES}
    lines = dict.fromkeys(NAMES, 0)
    for year in sorted(jobs.keys() | found.keys()):
        with Partitions(target, year) as part:
            for loaded in load_jobs(book.shelf, jobs.get(year, ())):
                for table, row in rows_of(loaded.job, book.bench) if loaded.job else ():
                    part.add(table, as_line(row))
            for finding in found.get(year, ()):
                part.add("findings", as_line(finding_row(finding)))
        for table, count in part.lines.items():
            written[table].add(year)
            lines[table] += count
    remove_stale(target, written)
    return lines
