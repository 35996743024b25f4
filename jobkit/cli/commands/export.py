"""`jobkit export`: the book as tables for query engines."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, On, Rev, book_folders
from jobkit.cli.call.streams import answer
from jobkit.units.errors import in_one_line

if TYPE_CHECKING:
    from jobkit.cli.bench.exporting import Exported

app = plain_app()


@app.command()
def export(
    ctx: typer.Context,
    folder: Annotated[str, typer.Argument(metavar="DIR", help="Folder for the tables; created if missing.")],
    form: Annotated[
        str, typer.Option("--format", metavar="jsonl|parquet", help="The form of the tables.")
    ] = "jsonl",
    on: On = None,
    rev: Rev = None,
    book: Books = None,
) -> None:
    """Write the book as tables: jobs, every sort of entry, bills, warranties, stock and findings.

    One file a table and year, as JSON Lines or as Parquet, with columns.json and views.sql, which name the types. Years
    that did not change are left as they are; years that are no longer in the book are removed.
    """
    from jobkit.cli.bench.exporting import check_form, counted, write_tables
    from jobkit.cli.call.rollup import names_of
    from jobkit.cli.call.target_folder import target_folder

    form = form.casefold()
    check_form(form)
    roots = tuple(dict.fromkeys(book_folders(ctx, book)))
    target = target_folder(folder, roots)
    books = [
        _book(root, name, rev, on, many=len(roots) > 1)
        for root, name in zip(roots, names_of(roots), strict=True)
    ]
    lines, written = write_tables(books, target, form)
    unchanged = "" if written else "; nothing has changed since the last export"
    answer(f"{in_one_line(folder)}: {counted(lines)}{unchanged}\n")


def _book(root: Path, name: str, rev: str | None, on: str | None, *, many: bool) -> Exported:
    from jobkit.book.read.facts import all_facts
    from jobkit.book.read.load import open_book
    from jobkit.cli.bench.exporting import Exported
    from jobkit.cli.call.cache_switch import cache_for
    from jobkit.cli.call.options import day
    from jobkit.cli.call.progress import progress_bar
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.check.checking import check
    from jobkit.cli.check.lint_call import LintCall
    from jobkit.jobs.asof import known_on
    from jobkit.pages.tables.export import finding_row, of_year, rows_across

    shelf = shelf_of(root, rev=rev)
    report = check(root, shelf, LintCall(on=on))
    # The tables are handed on: what is wrong in private/ stays with the bench.
    findings = [one for one in report.findings if not one.file.startswith("private/")]
    opened = open_book(shelf, cache_for(shelf))._replace(watch=progress_bar)
    today = day(on, opened.bench.settings)
    across = [
        *rows_across(known_on(all_facts(opened), today), opened.bench, today),
        *((of_year(one.file), "findings", finding_row(one)) for one in findings),
    ]
    return Exported(name, many, opened, across)
