"""`jobkit queue`: what to work on next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, TableFormat, day, one_book
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.bench import Bench
    from jobkit.jobs.facts import Facts
    from jobkit.jobs.job import Job
    from jobkit.reckon.progress.plan import Plan
    from jobkit.reckon.progress.queue import Queued

app = plain_app()

_LONGEST = 24


@app.command()
def queue(
    ctx: typer.Context,
    hours: Annotated[
        float | None, typer.Option("--hours", metavar="H", help="Plan so many hours at the bench, such as 4.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """List the open jobs in the order in which to work on them, each with its next step.

    Promised jobs come first, the soonest at the top, then the oldest; jobs that wait for something are listed
    separately. With --hours it plans them: what runs unattended is started first.
    """
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import facts_as_of
    from jobkit.pages.bench.queue import queue_page
    from jobkit.reckon.progress.queue import queue_of

    opened = open_at(one_book(ctx, book), rev)
    today = day(on, opened.bench.settings)
    known = facts_as_of(facts_told(opened), today)
    whole = _whole(opened, known, today)
    bench = opened.bench._replace(today=today)
    found = queue_of(known, whole, bench)
    plan = None if hours is None else _plan(hours, found, known, whole, bench)
    show_page(queue_page(opened.bench.settings.name, found, today, plan), form, output, color)


def _plan(
    hours: float, found: Sequence[Queued], known: Iterable[Facts], whole: Mapping[str, Job], bench: Bench
) -> Plan:
    """Plan so many hours; raises MisuseError for a time that is not a working day."""
    from jobkit.cli.call.clock import now
    from jobkit.reckon.entry.defaults import warm_until
    from jobkit.reckon.progress.next_step import steps_ahead
    from jobkit.reckon.progress.plan import Ahead, plan_of, usual_minutes

    if not 0 < hours <= _LONGEST:
        raise MisuseError(f"--hours {hours:g} cannot be planned", f"give more than 0 and at most {_LONGEST}")
    clock, ahead = now(bench.settings), []
    for one in found:
        job = whole.get(one.facts.path)
        until = warm_until(job, bench.settings.cooling_minutes) if job else None
        cold_in = max(until - clock, timedelta(0)) if until else timedelta(0)
        minutes = Decimal(ceil(cold_in.total_seconds() / 60))
        ahead.append(Ahead(one.facts, steps_ahead(one.next, job, bench), minutes))
    return plan_of(ahead, Decimal(str(hours)) * 60, usual_minutes(known))


def _whole(book: OpenBook, known: Iterable[Facts], on: date) -> dict[str, Job]:
    """Load whole only the jobs whose next step depends on their entries: the facts say which."""
    from jobkit.book.read.load import load_jobs
    from jobkit.jobs.asof import job_as_of
    from jobkit.reckon.progress.next_step import needs_job

    loaded = load_jobs(book.shelf, [one.path for one in known if needs_job(one)])
    return {one.path: job_as_of(one.job, on) for one in loaded if one.job}
