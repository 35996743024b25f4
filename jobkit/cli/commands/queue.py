"""`jobkit queue`: what to work on next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, TableFormat, day, one_book

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.facts import Facts
    from jobkit.jobs.job import Job

app = plain_app()


@app.command()
def queue(
    ctx: typer.Context,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """List the open jobs in the order in which to work on them, each with its next step.

    Promised jobs come first, the soonest at the top, then the oldest; jobs that wait for something are listed
    separately.
    """
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import facts_as_of
    from jobkit.pages.bench.queue import queue_page
    from jobkit.reckon.progress.queue import queue_of

    opened = open_at(one_book(ctx, book), rev)
    today = day(on, opened.bench.settings)
    known = facts_as_of(facts_told(opened), today)
    found = queue_of(known, _whole(opened, known, today), opened.bench)
    show_page(queue_page(opened.bench.settings.name, found, today), form, output, color)


def _whole(book: OpenBook, known: Iterable[Facts], on: date) -> dict[str, Job]:
    """Load whole only the jobs whose next step depends on their entries: the facts say which."""
    from jobkit.book.read.load import load_jobs
    from jobkit.jobs.asof import job_as_of
    from jobkit.reckon.progress.next_step import needs_job

    loaded = load_jobs(book.shelf, [one.path for one in known if needs_job(one)])
    return {one.path: job_as_of(one.job, on) for one in loaded if one.job}
