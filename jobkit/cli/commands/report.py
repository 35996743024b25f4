"""`jobkit report`: the report for the client."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, On, Output, Rev, day, one_book
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def report(
    ctx: typer.Context,
    job: Annotated[str, typer.Argument(metavar="JOB", help="Job id or its last digits.")],
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Print the report for the client: what came, was found and done, readings, tests, price, warranty, cautions.

    Name and address come from private/clients.toml, except with --rev. Local law may give more than this paper; it is
    not legal advice.
    """
    from jobkit.book.read.facts import all_facts
    from jobkit.cli.call.client_asked import client_asked
    from jobkit.cli.call.job_asked import job_asked
    from jobkit.cli.call.rollup import open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import job_as_of, known_on
    from jobkit.pages.client.report import report_page
    from jobkit.reckon.client.paper import paper
    from jobkit.reckon.warranty.cover import cover

    opened = open_at(one_book(ctx, book), rev)
    settings = opened.bench.settings
    today = day(on, settings)
    asked = job_asked(opened, job)
    if asked.dates.received and asked.dates.received > today:
        raise MisuseError(
            f"{asked.id} was not received on {today}", f"ask for {asked.dates.received} or later"
        )
    if asked.dates.announced and not asked.dates.received:
        raise MisuseError(f"{asked.id} has not been received yet", "write its report once it is here")
    covered = cover(asked.id, known_on(all_facts(opened), today), settings.warranty, today)
    client = client_asked(opened.shelf, asked.client)
    show_page(
        report_page(paper(job_as_of(asked, today), opened.bench, covered, client, today)), form, output, color
    )
