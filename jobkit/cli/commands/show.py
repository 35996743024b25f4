"""`jobkit show`: one job on one screen."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev, day, one_book
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.job import Job
    from jobkit.pages.bench.job import JobView

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
    from jobkit.book.read.lookup import design_named
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.own_troubles import say_own_troubles
    from jobkit.cli.call.rollup import open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.design import design_page
    from jobkit.pages.bench.job import job_page

    if job is not None and design is not None:
        raise MisuseError("show shows one job or one design", "name a job, or a design with --design")
    root = one_book(ctx, book)
    name = None if design else job_or_selected(root, job)
    opened = open_at(root, rev)
    if design is not None:
        answer = design_page(design_named(opened.bench, design))
    else:
        asked = job_asked(opened, name or "")
        say_own_troubles(opened, asked.board.design)
        answer = job_page(_view(opened, asked, day(on, opened.bench.settings)))
    show_page(answer, form, output, color)


def _view(book: OpenBook, asked: Job, on: date) -> JobView:
    from jobkit.cli.call.boards import chain_of, past_causes, stays_before, stays_of, usual_for
    from jobkit.jobs.asof import job_as_of
    from jobkit.jobs.digest import facts_of
    from jobkit.pages.bench.job import JobView
    from jobkit.pages.bench.readings import ReadingsView
    from jobkit.reckon.heat.cycles import heat_cycles
    from jobkit.reckon.heat.part_states import part_states
    from jobkit.reckon.heat.work_log import heat_logs_in
    from jobkit.reckon.load_run.trial import evidence_in
    from jobkit.reckon.memory.log_against_entry import seen_logs
    from jobkit.reckon.money.balance import balance
    from jobkit.reckon.progress.next_step import next_step
    from jobkit.reckon.progress.release import release_steps
    from jobkit.reckon.progress.status import status
    from jobkit.reckon.readings.against_usual import against
    from jobkit.reckon.readings.limits import judge_reading
    from jobkit.reckon.readings.odd_one_out import reading_groups

    job = job_as_of(asked, on)
    design = book.bench.designs.get(job.board.design or "")
    readings = ReadingsView(
        [judge_reading(one, book.bench, design) for one in job.readings],
        against(job, usual_for(book, job, on), book.bench),
        reading_groups(job, book.bench, design),
    )
    received = str(job.dates.received)
    stays = stays_of(book, job.board.serial or "", on)
    earlier = [one for one in stays if one.id != job.id and one.received <= received]
    all_stays = [*stays_before(book, earlier, on), job]
    own = facts_of(job)
    over = own.finished or own.sent or own.collected or own.declined
    owed = balance(own, book.bench) if over else None
    return JobView(
        job,
        status(own),
        readings,
        release_steps(job, book.bench),
        earlier,
        len(job.broken),
        owed,
        design,
        evidence_in(job, book.bench),
        seen_logs(job, book.bench),
        next_step(own, job, chain_of(book, job, on), book.bench._replace(today=on), past_causes(book, on)),
        part_states(all_stays),
        heat_logs_in(job, book.bench),
        tuple(heat_cycles(all_stays, book.bench).values()),
        book.bench.settings.heat_cycles,
    )
