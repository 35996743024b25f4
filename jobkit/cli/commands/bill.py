"""`jobkit bill`: the bill of a job, with tax."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, JobArgument, Lang, On, Output, Rev, one_book

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
    lang: Lang = None,
    on: On = None,
    rev: Rev = None,
    form: Annotated[
        str,
        typer.Option(
            "--format",
            metavar="text|markdown|html|json|ubl",
            help="The form of the answer; ubl is an invoice as data (EN 16931 in UBL 2.1).",
        ),
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Print the bill of a job: lines, tax, payments, and the balance due. It is an estimate until `jot invoice`.

    A job without a charge, agreement or quote is calculated by the minute. Name and address come from
    private/clients.toml, except with --rev. This is not tax or legal advice.
    """
    from jobkit.cli.call.bill_asked import bill_asked, bill_paper
    from jobkit.cli.call.invoice_asked import lacking
    from jobkit.cli.call.job_asked import job_or_selected
    from jobkit.cli.call.show_page import show_page
    from jobkit.cli.call.streams import say

    root = one_book(ctx, book)
    asked = bill_asked(root, job_or_selected(root, job), rev, on, lang, breakdown=breakdown)
    if form.casefold() != "ubl":  # which refuses what lacks something
        for line in lacking(asked.view, names_asked=rev is None):
            say(f"jobkit: {line}")
    show_page(bill_paper(asked, credit_note), form, output, color, asked.around())
    asked.language.say_lacking()
