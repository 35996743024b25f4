"""`jobkit comebacks`: how many boards come back, how soon, and what a longer warranty would cost."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.options import Books, Color, Format, On, Output, Rev
from jobkit.cli.rollup import RollUp, roll_up
from jobkit.cli.show_page import show_page
from jobkit.jobs.duration import parse_within
from jobkit.jobs.money import Money
from jobkit.pages.comebacks import comebacks_page
from jobkit.reckon.comebacks import Study, cases, contradicting, study
from jobkit.reckon.longer import Longer, longer
from jobkit.units.errors import MisuseError

app = typer.Typer(rich_markup_mode=None)


@app.command()
def comebacks(
    ctx: typer.Context,
    warranty: Annotated[
        str | None,
        typer.Option("--warranty", metavar="P12M", help="Reckon what a longer warranty would cost."),
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show the share of repaired boards that came back under warranty, how soon, and what they have in common."""
    rolled = roll_up(ctx, book, rev, on)
    found = _study(rolled)
    show_page(comebacks_page(rolled.title, found, _longer(rolled, found, warranty)), form, output, color)


def _study(rolled: RollUp) -> Study:
    known = [(part, part.known(rolled.on)) for part in rolled.parts]
    return study(
        (case for part, jobs in known for case in cases(jobs, part.bench.settings.warranty, rolled.on)),
        (one for _, jobs in known for one in contradicting(jobs)),
        rolled.on,
    )


def _longer(rolled: RollUp, found: Study, warranty: str | None) -> Longer | None:
    if warranty is None:
        return None
    rates = {part.bench.settings.rate for part in rolled.parts}
    if len(rates) > 1:
        raise MisuseError("the books have different rates for an hour", "name one --book for --warranty")
    return longer(found.cases, parse_within(warranty), rolled.on, _only(rates))


def _only(rates: set[Money | None]) -> Money | None:
    return next(iter(rates))
