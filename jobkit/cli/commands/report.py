"""`jobkit report`: the papers for the client: report, receipt, quote, message."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, Lang, On, Output, Rev, one_book

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
    lang: Lang = None,
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
    from jobkit.cli.call.job_asked import job_or_selected
    from jobkit.cli.call.paper_asked import paper_asked
    from jobkit.cli.call.paper_named import paper_named
    from jobkit.cli.call.show_page import show_page

    root = one_book(ctx, book)
    asked = paper_asked(root, job_or_selected(root, job), rev, on, lang)
    page = paper_named(kind, asked.paper, about, asked.language.language)
    show_page(page, form, output, color, asked.around())
    asked.language.say_lacking()
