"""`jobkit comebacks`: how many boards come back, how soon, and what a longer warranty would cost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, TableFormat
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.cli.call.rollup import RollUp
    from jobkit.reckon.warranty.comebacks import Study
    from jobkit.reckon.warranty.extension import WarrantyExtension

app = plain_app()


@app.command()
def comebacks(
    ctx: typer.Context,
    warranty: Annotated[
        str | None,
        typer.Option("--warranty", metavar="P12M", help="Calculate the cost of a longer warranty."),
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show the share of repaired boards that came back under warranty, how soon, and what they have in common."""
    from jobkit.cli.call.rollup import roll_up
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.comebacks import comebacks_page
    from jobkit.reckon.warranty.comebacks import study

    rolled = roll_up(ctx, book, rev, on)
    found = study(rolled.benches, rolled.on)
    more = _longer(rolled, found, warranty) if warranty else None
    show_page(comebacks_page(rolled.title, found, more), form, output, color)


def _longer(rolled: RollUp, found: Study, warranty: str) -> WarrantyExtension:
    from jobkit.jobs.duration import parse_within
    from jobkit.reckon.warranty.extension import warranty_extension

    rates = {bench.settings.rate_on(rolled.on.isoformat()) for bench in rolled.benches}
    if len(rates) > 1:
        raise MisuseError("the books have different rates for an hour", "name one --book for --warranty")
    return warranty_extension(found.cases, parse_within(warranty), rolled.on, rates.pop(), rolled.benches)
