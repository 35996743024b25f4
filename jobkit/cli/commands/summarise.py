"""`jobkit summarise`: the jobs as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from jobkit.cli.call.choices import among
from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, TableFormat, read_day

if TYPE_CHECKING:
    from jobkit.cli.call.rollup import RollUp
    from jobkit.reckon.progress.summarise import Span

app = plain_app()

_WAITS = ("parts", "client", "donor", "shipping")

Words = list[str] | None
Day = str | None


def _since(what: str) -> Any:
    return typer.Option(metavar="DATE", help=f"{what} on this day or later.")


def _until(what: str) -> Any:
    return typer.Option(metavar="DATE", help=f"{what} on this day or before.")


@app.command()
def summarise(
    ctx: typer.Context,
    status: Annotated[
        Words,
        typer.Option(
            metavar="STATUS",
            help="Status such as ready, or open for all but done; may be repeated, like the next five.",
        ),
    ] = None,
    waiting: Annotated[Words, typer.Option(metavar="|".join(_WAITS), help="What they wait for.")] = None,
    outcome: Annotated[Words, typer.Option(metavar="OUTCOME", help="Such as repaired.")] = None,
    client: Annotated[Words, typer.Option(metavar="CLIENT", help="Such as c-031.")] = None,
    design: Annotated[Words, typer.Option(metavar="DESIGN", help="Such as tarnhow-t7-16.")] = None,
    cause: Annotated[
        Words, typer.Option(metavar="WORDS", help="A part or fault, or some letters of it.")
    ] = None,
    received_since: Annotated[Day, _since("Received")] = None,
    received_until: Annotated[Day, _until("Received")] = None,
    finished_since: Annotated[Day, _since("Finished")] = None,
    finished_until: Annotated[Day, _until("Finished")] = None,
    sent_since: Annotated[Day, _since("Sent")] = None,
    sent_until: Annotated[Day, _until("Sent")] = None,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """List jobs with status, age, outcome and cause, in order of receipt: all, or those that pass every filter."""
    from jobkit.cli.call.rollup import roll_up
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import facts_as_of
    from jobkit.jobs.job import OUTCOMES
    from jobkit.pages.bench.summarise import summarise_page
    from jobkit.reckon.progress.summarise import Filters
    from jobkit.reckon.progress.summarise import summarise as pick

    rolled = roll_up(ctx, book, rev, on)
    filters = Filters(
        _statuses(status),
        among("wait", waiting, _WAITS),
        among("outcome", outcome, OUTCOMES),
        among("client", client, _clients(rolled)),
        among("design", design, _designs(rolled)),
        tuple(cause or ()),
        _span(rolled, received_since, received_until),
        _span(rolled, finished_since, finished_until),
        _span(rolled, sent_since, sent_until),
    )
    known = (one for bench in rolled.benches for one in facts_as_of(bench.facts, rolled.on))
    show_page(summarise_page(pick(known, filters, rolled.on)), form, output, color)


def _statuses(words: Words) -> tuple[str, ...]:
    from jobkit.reckon.progress.status import STATUSES

    named = among("status", words, ("open", *STATUSES))
    still_open = (status for status in STATUSES if status != "done")
    return (*(word for word in named if word != "open"), *(still_open if "open" in named else ()))


def _clients(rolled: RollUp) -> set[str]:
    return {one.client for bench in rolled.benches for one in bench.facts}


def _designs(rolled: RollUp) -> set[str]:
    with_file = {name for bench in rolled.benches for name in bench.designs}
    return with_file | {one.design for bench in rolled.benches for one in bench.facts}


def _span(rolled: RollUp, since: Day, until: Day) -> Span:
    from jobkit.reckon.progress.summarise import Span

    settings = rolled.benches[0].settings
    return Span(read_day(since, settings) if since else None, read_day(until, settings) if until else None)
