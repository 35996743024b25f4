"""`jobkit week`: the weekly bench summary."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, TableFormat

app = plain_app()


@app.command()
def week(
    ctx: typer.Context,
    which: Annotated[
        str | None, typer.Argument(metavar="[WEEK]", help="An ISO 8601 week, such as 2026-W47.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show one week: boards, hours, money, the weeks before, open jobs, next week's dues.

    Default: the week of the day of --on.
    """
    from jobkit.cli.call.rollup import roll_up
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.week import parse_week, week_of
    from jobkit.pages.bench.week import week_page
    from jobkit.reckon.progress.week import ahead, week_summary

    rolled = roll_up(ctx, book, rev, on)
    chosen = parse_week(which) if which else week_of(rolled.on)
    summary = week_summary(rolled.benches, chosen, rolled.on)
    show_page(week_page(rolled.title, summary, ahead(rolled.benches, summary)), form, output, color)
