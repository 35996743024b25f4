"""`jobkit warranty`: whether a job is under warranty, and until when."""

from __future__ import annotations

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev, day, one_book

app = plain_app()


@app.command()
def warranty(
    ctx: typer.Context,
    job: JobArgument = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Say whether a job is covered on a day, until when, on what, and by which rule.

    Local law may give more than this paper; it is not legal advice.
    """
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import known_on
    from jobkit.pages.client.warranty import warranty_page
    from jobkit.reckon.warranty.cover import comebacks, cover

    root = one_book(ctx, book)
    name = job_or_selected(root, job)
    opened = open_at(root, rev)
    settings = opened.bench.settings
    today = day(on, settings)
    which = job_asked(opened, name).id
    known = known_on(facts_told(opened), today)
    show_page(
        warranty_page(cover(which, known, settings.warranty, today), comebacks(known).get(which, ())),
        form,
        output,
        color,
    )
