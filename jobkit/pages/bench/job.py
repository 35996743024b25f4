"""One job on one screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Seen
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job, Price
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.course import CourseView, course_data, course_of, course_table
from jobkit.pages.bench.heat_cycles import cycles_data, cycles_table
from jobkit.pages.bench.job_head import head_pairs
from jobkit.pages.bench.memory_words import log_words
from jobkit.pages.bench.parts import PartsView, part_blocks, parts_data
from jobkit.pages.bench.readings import ReadingsView, moment, reading_blocks, readings_data
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.client.heat_logs import heat_log_blocks, heat_logs_data
from jobkit.pages.client.load_logs import log_blocks, trials_data
from jobkit.pages.client.steps import steps_data, ticked
from jobkit.pages.forms.data import Data, money, number
from jobkit.reckon.client.correspondence import correspondence
from jobkit.reckon.heat.cycles import Cycles
from jobkit.reckon.heat.part_states import PartState
from jobkit.reckon.heat.work_log import HeatEvidence
from jobkit.reckon.load_run.trial import Evidence
from jobkit.reckon.memory.failing_channels import failing_in
from jobkit.reckon.memory.log_against_entry import SeenLog
from jobkit.reckon.progress.status import Status
from jobkit.reckon.progress.step import NextStep, ReleaseStep

_ZERO = Decimal(0)


class JobView(NamedTuple):
    """All that the page of a job shows."""

    job: Job
    status: Status
    readings: ReadingsView
    steps: Sequence[ReleaseStep]
    earlier: Sequence[Facts]
    unread: int
    owed: Money | None = None
    design: Design | None = None
    evidence: Sequence[Evidence] = ()
    memory_logs: Sequence[SeenLog] = ()
    next: NextStep = NextStep("")
    parts: Mapping[str, PartState] = {}
    heatings: Sequence[HeatEvidence] = ()
    cycles: Sequence[Cycles] = ()
    cycles_allowed: int = 0


def job_page(view: JobView) -> Answer:
    """Show a job: its status, what was measured and done, what is still to be tested, and the money."""
    return Answer(list(_blocks(view)), _data(view))


def _blocks(view: JobView) -> Iterator[Block]:
    job = view.job
    yield Title(f"{job.id}  {job.title or ''}", 1)
    if view.unread:
        yield Line(f"{view.unread} places in the file cannot be read; `jobkit lint` lists them.")
    yield Pairs(head_pairs(job, view.status, view.next, view.owed))
    yield from reading_blocks(view.readings)
    events = course_of(_course_view(view))
    if events:
        yield Title("Course of the stay")
        yield course_table(events)
        yield from _memory_lines(view)
    yield from part_blocks(_parts_view(view))
    if view.heatings:
        yield Title("Heat logs")
        yield from heat_log_blocks(view.heatings)
    if view.cycles:
        yield Title("Heatings above liquidus")
        yield cycles_table(view.cycles, view.cycles_allowed)
    logs = list(log_blocks(view.evidence))
    if logs:
        yield Title("Load logs")
        yield from logs
    if view.steps:
        yield Title("Checks before shipping")
        yield ticked(view.steps)
    if view.earlier:
        yield Title("Earlier jobs of this board")
        yield Table(("job", "received", "outcome", "title"), [_earlier_row(one) for one in view.earlier])


def _course_view(view: JobView) -> CourseView:
    logged = frozenset(one.trial.path for one in view.evidence)
    return CourseView(view.job, view.design, view.readings.judged, logged)


def _parts_view(view: JobView) -> PartsView:
    return PartsView(view.job, view.design, view.parts)


def _memory_lines(view: JobView) -> Iterator[Line]:
    """Say of each memory test where the channels that failed are, and what its log shows."""
    logs = {one.seen.path: one.log for one in view.memory_logs}
    for seen in view.job.seen:
        log = logs.get(seen.path)
        words = (failing_in(seen, view.design), log_words(seen.log or "", log) if log else "")
        if any(words):
            when = " of ".join(filter(None, (seen.check or "test", moment(seen.at))))
            yield Line(f"{when}: {'. '.join(filter(None, words))}.")


def _earlier_row(facts: Facts) -> tuple[str, ...]:
    return facts.id, facts.received, facts.outcome, facts.title


def _data(view: JobView) -> Data:
    job = view.job
    price = job.price or Price()
    return {
        "id": job.id,
        "title": job.title,
        "client": job.client,
        "design": job.board.design,
        "serial": job.board.serial,
        "status": view.status.word,
        "waiting": view.status.waiting or None,
        "next_step": view.next.step or None,
        "outcome": job.outcome,
        "dates": {name: str(day) for name, day in zip(job.dates._fields, job.dates, strict=True) if day},
        "readings": readings_data(view.readings),
        "seen": [_seen_data(view, one) for one in job.seen],
        "trials": trials_data(job, view.evidence),
        "heatings": heat_logs_data(view.heatings),
        "heat_cycles": cycles_data(view.cycles, view.cycles_allowed),
        "course": course_data(course_of(_course_view(view))),
        "parts": parts_data(_parts_view(view)),
        "release": steps_data(view.steps),
        "price": {
            "quoted": money(price.quoted),
            "ceiling": money(price.ceiling),
            "charged": money(price.charged),
            "shipping": money(price.shipping),
            "lines": [
                {"what": one.what, "quantity": number(one.quantity), "each": money(one.each)}
                for one in price.lines
            ],
            "invoice": {"number": job.invoice.number, "on": str(job.invoice.on)} if job.invoice else None,
            "credits": [
                _sum_data(one.amount, one.on) | {"why": one.why, "number": one.number}
                for one in price.credits
            ],
            "payments": [_sum_data(one.amount, one.on) | {"note": one.note} for one in price.payments],
            "discounts": [{"amount": money(one.amount), "why": one.why} for one in price.discounts],
            "refunds": [_sum_data(one.amount, one.on) | {"note": one.note} for one in price.refunds],
            "owed": money(view.owed),
        },
        "correspondence": [
            {
                "at": one.at.isoformat() if one.at else None,
                "by": one.by,
                "with": one.other,
                "text": one.text,
                "log": one.log,
                "from": one.sender,
                "client": one.client,
            }
            for one in correspondence(job)
        ],
        "minutes": number(sum((work.minutes for work in job.work if work.minutes), start=_ZERO)),
        "earlier": [one.id for one in view.earlier],
        "unread": view.unread,
    }


def _seen_data(view: JobView, seen: Seen) -> Data:
    return {
        "at": seen.at.isoformat() if seen.at else None,
        "check": seen.check,
        "failed": list(seen.failed),
        "passed": list(seen.passed),
        "what": seen.what,
        "log": seen.log,
        "failing": failing_in(seen, view.design) or None,
    }


def _sum_data(amount: Money | None, day: date | None) -> Data:
    return {"on": str(day) if day else None, "amount": money(amount)}
