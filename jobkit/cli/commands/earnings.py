"""`jobkit earnings`: what the bench earns per hour."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, day
from jobkit.jobs.naming import spelled
from jobkit.reckon.money.earnings import BY
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def earnings(
    ctx: typer.Context,
    by: Annotated[
        str, typer.Option("--by", metavar="|".join(BY), help="What to group the jobs by.")
    ] = "week",
    since: Annotated[
        str | None, typer.Option("--since", metavar="DATE", help="Only jobs finished on that day or later.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Annotated[
        str, typer.Option("--format", metavar="text|markdown|html|json|csv", help="The form of the answer.")
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show what finished jobs earned per hour, by week, design or kind of work.

    That is: billed without tax and shipping, minus parts at cost, divided by bench time.
    """
    from jobkit.cli.call.rollup import roll_up
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import facts_as_of
    from jobkit.pages.bench.earnings import earnings_page
    from jobkit.reckon.money.earnings import earnings as earnings_of

    by = _group(by)
    rolled = roll_up(ctx, book, rev, on)
    first: date | None = day(since, rolled.benches[0].settings) if since else None
    books = [(facts_as_of(bench.facts, rolled.on), bench) for bench in rolled.benches]
    summed = earnings_of(books, by, first)
    show_page(earnings_page(rolled.title, summed, rolled.on, first), form, output, color)


def _group(word: str) -> str:
    """Take the word by which to group, in any case."""
    by = spelled(word, BY)
    if by is None:
        raise MisuseError(f'earnings cannot be grouped by "{word}"', f"choose one of {', '.join(BY)}")
    return by
