"""`jobkit next`: what to pick up now."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

import typer

from jobkit.cli.command import plain_app
from jobkit.cli.options import Books, Color, On, Output, Rev, TableFormat, day, one_book

if TYPE_CHECKING:
    from jobkit.book.load import OpenBook
    from jobkit.jobs.job import Job

app = plain_app()


@app.command("next")
def pick_up(
    ctx: typer.Context,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """List the open jobs in the order in which to pick them up, each with its next step.

    Promised jobs come first, the soonest before the others, then the oldest; jobs that wait for something stand apart.
    """
    from jobkit.cli.rollup import open_at
    from jobkit.cli.show_page import show_page
    from jobkit.pages.pick_up import next_page
    from jobkit.reckon.pick_up import picks

    opened = open_at(one_book(ctx, book), rev)
    today = day(on, opened.bench.settings)
    show_page(
        next_page(opened.bench.settings.name, picks(_open_jobs(opened, today), opened.bench), today),
        form,
        output,
        color,
    )


def _open_jobs(book: OpenBook, on: date) -> Iterator[Job]:
    """Load whole only the jobs that are still open: the facts tell which."""
    from jobkit.book.load import load_jobs
    from jobkit.cli.rollup import facts_told
    from jobkit.reckon.asof import facts_as_of, job_as_of
    from jobkit.reckon.status import status

    still_open = [one.path for one in facts_as_of(facts_told(book), on) if status(one).word != "done"]
    for loaded in load_jobs(book.shelf, still_open):
        if loaded.job:
            yield job_as_of(loaded.job, on)
