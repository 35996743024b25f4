"""`jobkit show`: one job on one screen."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev, day, one_book
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def show(
    ctx: typer.Context,
    job: JobArgument = None,
    design: Annotated[
        str | None, typer.Option("--design", metavar="D", help="Show a board file instead.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show one job: status, readings with verdicts, the course of the stay, what is left to prove, earlier jobs.

    With --design, show what is known of a board design instead.
    """
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.own_troubles import say_own_troubles
    from jobkit.cli.call.rollup import open_at
    from jobkit.cli.call.show_page import show_page

    if job is not None and design is not None:
        raise MisuseError("show shows one job or one design", "name a job, or a design with --design")
    root = one_book(ctx, book)
    name = None if design else job_or_selected(root, job)
    opened = open_at(root, rev)
    if design is not None:
        from jobkit.book.read.lookup import design_named
        from jobkit.pages.bench.design import design_page

        answer = design_page(design_named(opened.bench, design))
    else:
        from jobkit.cli.bench.job_view import job_view
        from jobkit.pages.bench.job import job_page

        asked = job_asked(opened, name or "")
        say_own_troubles(opened, asked.board.design)
        answer = job_page(job_view(opened, asked, day(on, opened.bench.settings)))
    show_page(answer, form, output, color)
