"""`jobkit week`: the weekly bench summary."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.book.facts import all_facts
from jobkit.book.load import open_book
from jobkit.cli.options import Books, Color, Format, On, Output, Rev, day, one_book
from jobkit.cli.shelves import shelf_of
from jobkit.cli.show_page import show_page
from jobkit.jobs.week import parse_week, week_of
from jobkit.pages.week import week_page
from jobkit.reckon.week_summary import week_summary

app = typer.Typer(rich_markup_mode=None)


@app.command()
def week(
    ctx: typer.Context,
    which: Annotated[
        str | None, typer.Argument(metavar="[WEEK]", help="An ISO 8601 week, such as 2026-W47.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Sum up one week: what came, what was finished, what went out, what it took.

    Without a week, the one that holds the day of --on.
    """
    opened = open_book(shelf_of(one_book(ctx, book), rev=rev))
    settings = opened.bench.settings
    today = day(on, settings)
    summary = week_summary(all_facts(opened), parse_week(which) if which else week_of(today), today)
    show_page(week_page(settings.name, summary), form, output, color)
