"""`jobkit due`: what falls due, soonest first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev

if TYPE_CHECKING:
    from jobkit.reckon.progress.due import Due

app = plain_app()


@app.command()
def due(
    ctx: typer.Context,
    within: Annotated[
        str, typer.Option("--within", metavar="30d", help="How far to look ahead: 30d, 2w, 6m, 1y.")
    ] = "30d",
    on: On = None,
    rev: Rev = None,
    form: Annotated[
        str,
        typer.Option("--format", metavar="text|markdown|html|json|csv|ics", help="The form of the answer."),
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """List what falls due, soonest first: warranties ending, quotes, parts, payment, collection, promises, meters.

    `--format ics` writes a calendar; a second run writes the same bytes.
    """
    from jobkit.cli.call.rollup import roll_up
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.duration import parse_within
    from jobkit.pages.bench.due import due_page
    from jobkit.reckon.progress.due import due as reckon_due

    rolled = roll_up(ctx, book, rev, on)
    ahead = parse_within(within)
    items = sorted(
        (item for bench in rolled.benches for item in reckon_due(bench, rolled.on, ahead)),
        key=lambda item: item.on,
    )
    answer = due_page(rolled.title, items, rolled.on, ahead)
    show_page(answer._replace(own={"ics": partial(_calendar, rolled.title, items)}), form, output, color)


def _calendar(bench: str, items: Sequence[Due]) -> str:
    # The calendar library takes longer to load than the rest of the call.
    from jobkit.pages.bench.calendar import as_calendar

    return as_calendar(bench, items)
