"""`jobkit report`: the papers for the client: report, receipt, quote, message."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev, day, one_book
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def report(
    ctx: typer.Context,
    job: JobArgument = None,
    kind: Annotated[
        str, typer.Option("--for", metavar="report|intake|quote|message", help="Which paper to print.")
    ] = "report",
    about: Annotated[
        str | None,
        typer.Option("--about", metavar="STEP", help="What a message is about (default: the step at hand)."),
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Print a paper for the client: the report, or the receipt (intake), the quote, or a message to paste into a mail.

    Nothing is sent: `jobkit jot message` records what you wrote.
    Name and address come from private/clients.toml, except with --rev. Local law may give more than this paper; it is
    not legal advice.
    """
    from jobkit.book.read.facts import all_facts
    from jobkit.cli.call.boards import usual_for
    from jobkit.cli.call.client_asked import client_asked
    from jobkit.cli.call.cover_asked import cover_asked
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.paper_around import paper_around
    from jobkit.cli.call.paper_named import paper_named
    from jobkit.cli.call.rollup import open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import job_as_of, known_on
    from jobkit.reckon.client.paper import paper

    root = one_book(ctx, book)
    name = job_or_selected(root, job)
    opened = open_at(root, rev)
    today = day(on, opened.bench.settings)
    asked = job_asked(opened, name)
    if asked.dates.received and asked.dates.received > today:
        raise MisuseError(
            f"{asked.id} was not received on {today}", f"ask for {asked.dates.received} or later"
        )
    if asked.dates.announced and not asked.dates.received:
        raise MisuseError(f"{asked.id} has not been received yet", "write its report once it is here")
    covered = cover_asked(opened, asked, known_on(all_facts(opened), today), today)
    client = client_asked(opened.shelf, asked.client)
    usual = usual_for(opened, asked, today)
    known = paper(job_as_of(asked, today), opened.bench, covered, client, today, usual)
    show_page(
        paper_named(kind, known, about),
        form,
        output,
        color,
        lambda: paper_around(opened.shelf, asked.path, opened.bench.settings.name, today),
    )
