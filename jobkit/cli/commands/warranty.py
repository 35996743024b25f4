"""`jobkit warranty`: whether a job is under warranty, and until when."""

from __future__ import annotations

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, Lang, On, Output, Rev, day, one_book

app = plain_app()


@app.command()
def warranty(
    ctx: typer.Context,
    job: JobArgument = None,
    lang: Lang = None,
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
    from jobkit.cli.call.client_asked import client_asked
    from jobkit.cli.call.cover_asked import cover_asked
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.language_asked import language_asked
    from jobkit.cli.call.paper_around import around_in
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import known_on
    from jobkit.pages.client.warranty import warranty_page
    from jobkit.reckon.warranty.cover import comebacks

    root = one_book(ctx, book)
    name = job_or_selected(root, job)
    opened = open_at(root, rev)
    today = day(on, opened.bench.settings)
    asked = job_asked(opened, name)
    known = known_on(facts_told(opened), today)
    covered = cover_asked(opened, asked, known, today)
    spoken = language_asked(opened, root, lang, client_asked(opened.shelf, asked.client))
    later = comebacks(known).get(asked.id, ())
    page = warranty_page(covered, later, spoken.language)
    show_page(page, form, output, color, lambda: around_in(spoken.language))
    spoken.say_lacking()
