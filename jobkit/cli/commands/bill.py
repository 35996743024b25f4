"""`jobkit bill`: the bill of a job, with tax."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev, day, one_book

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.facts import Facts
    from jobkit.jobs.finding import Place
    from jobkit.jobs.job import Job

_NEEDED: dict[str, tuple[Place, ...]] = {
    "bench.toml": ((), ("bench",), ("tax",)),
    "stock.toml": ((), ("item",)),
}
"""What of the bench's own files a bill depends on, by the first key; the empty place is the file as a whole."""

app = plain_app()


@app.command()
def bill(
    ctx: typer.Context,
    job: JobArgument = None,
    breakdown: Annotated[
        bool,
        typer.Option("--breakdown", help="View it by the minute: labour at the bench's rate, and parts."),
    ] = False,
    credit_note: Annotated[
        str | None, typer.Option("--credit-note", metavar="NUMBER", help="Print this credit note instead.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Print the bill of a job: lines, tax, payments, and the balance due. It is an estimate until `jot invoice`.

    A job without a charge, agreement or quote is calculated by the minute. Name and address come from
    private/clients.toml, except with --rev. This is not tax or legal advice.
    """
    from jobkit.book.read.load import open_book
    from jobkit.cli.call.client_asked import client_asked
    from jobkit.cli.call.invoice_asked import lacking, note_asked, view_of
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.paper_around import paper_around
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.call.show_page import show_page
    from jobkit.cli.call.streams import say
    from jobkit.pages.client.bill import bill_page
    from jobkit.pages.client.credit_note import credit_note_page
    from jobkit.reckon.money.bill import bill as make_out

    root = one_book(ctx, book)
    name = job_or_selected(root, job)
    opened = open_book(shelf_of(root, rev=rev))
    settings = opened.bench.settings
    today = day(on, settings)
    facts = _facts(opened, job_asked(opened, name), today)
    made = make_out(facts, opened.bench, breakdown=breakdown, on=today.isoformat())
    client = client_asked(opened.shelf, facts.client)
    view = view_of(opened.bench, facts, today, made, client)
    for line in lacking(view, names_asked=rev is None):
        say(f"jobkit: {line}")
    page = bill_page(view) if credit_note is None else credit_note_page(view, note_asked(made, credit_note))
    around = partial(paper_around, opened.shelf, facts.path, settings.name, today)
    show_page(page, form, output, color, around)


def _facts(book: OpenBook, job: Job, today: date) -> Facts:
    """Give the facts to bill from; raise BillError where the bench's terms could not be read."""
    from jobkit.jobs.asof import job_as_of
    from jobkit.jobs.digest import facts_of
    from jobkit.reckon.money.account import BillError

    if job.dates.received and job.dates.received > today:
        raise BillError(f"{job.id} was not received by {today}", "name a later day with --on")
    if job.dates.announced and not job.dates.received:
        raise BillError(f"{job.id} has not been received yet", "make out its bill once it is here")
    for file in book.own:
        if any(trouble.place[:1] in _NEEDED.get(file.path, ()) for trouble in file.troubles):
            raise BillError(
                f"{job.id} cannot be billed while {file.path} has errors", f"see `jobkit lint {file.path}`"
            )
    return facts_of(job_as_of(job, today))
