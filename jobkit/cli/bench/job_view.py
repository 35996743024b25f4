"""What the page of a job shows, gathered from its book."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.cli.call.boards import Boards
    from jobkit.jobs.job import Job
    from jobkit.pages.bench.job import JobView


def job_view(book: OpenBook, asked: Job, on: date, boards: Boards | None = None) -> JobView:
    """Gather what is known of a job at the end of a day; `boards` answers where many jobs are asked about."""
    from jobkit.cli.call.boards import boards_in, chain_of, stays_before
    from jobkit.jobs.asof import job_as_of
    from jobkit.jobs.digest import facts_of
    from jobkit.jobs.stays import earlier_stays
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

    boards = boards or boards_in(book, on)
    job = job_as_of(asked, on)
    design = book.bench.designs.get(job.board.design or "")
    readings = ReadingsView(
        [judge_reading(one, book.bench, design) for one in job.readings],
        against(job, boards.usual(job), book.bench),
        reading_groups(job, book.bench, design),
    )
    own, chain = facts_of(job), chain_of(book, job, on)
    earlier = earlier_stays(own, boards.stays(own.serial), lambda name: filter(None, [chain.get(name)]))
    all_stays = [*stays_before(book, earlier, on), job]
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
        next_step(own, job, chain, book.bench._replace(today=on), boards.past),
        part_states(all_stays),
        heat_logs_in(job, book.bench),
        tuple(heat_cycles(all_stays, book.bench).values()),
        book.bench.settings.heat_cycles,
    )
