"""One job on one screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.design import Design
from jobkit.jobs.entries import BillLine, Seen, Trial, Used, Wait, Work
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job, Price
from jobkit.jobs.money import Money
from jobkit.pages.bench.readings import ReadingsView, moment, reading_blocks, readings_data
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title, filled
from jobkit.pages.client.load_logs import log_blocks, trials_data
from jobkit.pages.client.phrases import trial_words
from jobkit.pages.client.steps import steps_data, ticked
from jobkit.pages.forms.data import Data, money, number
from jobkit.pages.words import hours, listed
from jobkit.reckon.load_run.trial import Evidence
from jobkit.reckon.memory.failing_channels import failing_in, passed_words
from jobkit.reckon.progress.status import Status
from jobkit.reckon.progress.step import Step

_ZERO = Decimal(0)


class JobView(NamedTuple):
    """All that the page of a job shows."""

    job: Job
    status: Status
    readings: ReadingsView
    steps: Sequence[Step]
    earlier: Sequence[Facts]
    unread: int
    owed: Money | None = None
    design: Design | None = None
    evidence: Sequence[Evidence] = ()


def job_page(view: JobView) -> Answer:
    """Show a job: its status, what was measured and done, what is still to be tested, and the money."""
    return Answer(list(_blocks(view)), _data(view))


def _blocks(view: JobView) -> Iterator[Block]:
    job = view.job
    yield Title(f"{job.id}  {job.title or ''}", 1)
    if view.unread:
        yield Line(f"{view.unread} places in the file cannot be read; `jobkit lint` lists them.")
    yield Pairs(_head(view))
    yield from reading_blocks(view.readings)
    if job.seen:
        yield Title("Seen")
        yield filled(
            Table(("when", "check", "failed", "passed", "what"), [_seen_row(view, one) for one in job.seen])
        )
        yield from (
            Line(f"{one.check or 'seen'}: {words}.")
            for one in job.seen
            if (words := failing_in(one, view.design))
        )
    if job.work or job.used:
        yield Title("Work")
        yield Table(("when", "what", "part", "min", "by"), _work_rows(job), right=("min",))
    if job.trials:
        yield Title("Trials")
        yield Table(("when", "run", "min", "result", "note"), _trial_rows(view), right=("min",))
        yield from log_blocks(view.evidence)
    if view.steps:
        yield Title("Checks before shipping")
        yield ticked(view.steps)
    if view.earlier:
        yield Title("Earlier jobs of this board")
        yield Table(("job", "received", "outcome", "title"), [_earlier_row(one) for one in view.earlier])


def _head(view: JobView) -> list[tuple[str, str]]:
    job, board = view.job, view.job.board
    price = job.price or Price()
    dates = [f"{name} {day}" for name, day in zip(job.dates._fields, job.dates, strict=True) if day]
    return [
        ("status", str(view.status)),
        ("outcome", job.outcome or ""),
        (
            "board",
            ", ".join(filter(None, (board.kind, board.design, board.serial and f"serial {board.serial}"))),
        ),
        (
            "location",
            listed(
                board.place, f"stored separately: {', '.join(board.kept_back)}" if board.kept_back else ""
            ),
        ),
        ("client", job.client or ""),
        ("complaint", job.intake.complaint or ""),
        ("condition", ", ".join(job.intake.condition)),
        ("earlier repair attempt", job.intake.prior_work or ""),
        ("dates", ", ".join(dates)),
        ("waiting history", "; ".join(_wait_words(wait) for wait in job.waits)),
        ("cause", listed(job.cause and job.cause.part, job.cause and job.cause.fault)),
        ("price", ", ".join(_price_words(price))),
        ("bill", "; ".join(map(_line_words, price.lines))),
        ("credit", "; ".join(_sum_words(one.amount, one.on, one.why) for one in price.credits)),
        ("paid", "; ".join(_sum_words(one.amount, one.on, one.note) for one in price.payments)),
        ("owed, with tax", str(view.owed or "")),
        ("time", hours(sum((work.minutes for work in job.work if work.minutes), start=_ZERO))),
    ]


def _wait_words(wait: Wait) -> str:
    what = f" ({wait.what})" if wait.what else ""
    return f"for {wait.reason}{what} since {wait.since}" + (f" until {wait.until}" if wait.until else "")


def _price_words(price: Price) -> Iterator[str]:
    if price.quoted:
        yield f"quoted {price.quoted}"
    if price.agreements and price.agreements[-1].amount:
        yield f"agreed {price.agreements[-1].amount}"
    if price.ceiling:
        yield f"at most {price.ceiling}"
    if price.charged:
        yield f"charged {price.charged}"
    if price.shipping:
        yield f"shipping {price.shipping}"


def _line_words(line: BillLine) -> str:
    count = "" if line.quantity == 1 else f"{line.quantity} × "
    return listed(f"{count}{line.what or ''}", line.each and str(line.each))


def _sum_words(amount: Money | None, day: date | None, what: str | None) -> str:
    when = f" on {day}" if day else ""
    return f"{amount or ''}{when}" + (f" ({what})" if what else "")


def _work_rows(job: Job) -> list[tuple[str, ...]]:
    rows = [(work.at, _work_row(work)) for work in job.work] + [
        (used.at, _used_row(used)) for used in job.used
    ]
    return [row for _, row in sorted(rows, key=lambda pair: pair[0] or datetime.max)]


def _work_row(work: Work) -> tuple[str, ...]:
    what = listed(work.did, work.what, work.came, work.alloy)
    return moment(work.at), what, work.part or "", str(work.minutes or ""), work.by or ""


def _used_row(used: Used) -> tuple[str, ...]:
    source = used.source or ""
    count = "" if used.qty == 1 else f"{used.qty} × "
    return (
        moment(used.at),
        f"used {count}{used.item or ''}" + (f" from {source}" if source else ""),
        used.part or "",
        "",
        used.by or "",
    )


def _seen(view: JobView) -> Iterator[Block]:
    seen = view.job.seen
    yield Title("Seen")
    yield filled(Table(("when", "check", "failed", "passed", "what"), [_seen_row(view, one) for one in seen]))
    for one in seen:
        where = failing_in(one, view.design)
        if where:
            yield Line(f"{moment(one.at)} {one.check}: {where}.".lstrip())


def _seen_row(view: JobView, seen: Seen) -> tuple[str, ...]:
    passed = passed_words(seen, view.design)
    return moment(seen.at), seen.check or "", ", ".join(seen.failed), passed, listed(seen.what, seen.log)


def _trial_rows(view: JobView) -> list[tuple[str, ...]]:
    logged = {one.trial.path for one in view.evidence}
    return [_trial_row(trial, has_log=trial.path in logged) for trial in view.job.trials]


def _trial_row(trial: Trial, *, has_log: bool) -> tuple[str, ...]:
    _, _, conditions, _ = trial_words(trial, has_log=has_log)
    note = listed(conditions, trial.note)
    return moment(trial.at), trial.run or "", str(trial.minutes or ""), trial.result or "", note


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
        "outcome": job.outcome,
        "dates": {name: str(day) for name, day in zip(job.dates._fields, job.dates, strict=True) if day},
        "readings": readings_data(view.readings),
        "seen": [_seen_data(view, one) for one in job.seen],
        "trials": trials_data(job, view.evidence),
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
            "credits": [_sum_data(one.amount, one.on) | {"why": one.why} for one in price.credits],
            "payments": [_sum_data(one.amount, one.on) | {"note": one.note} for one in price.payments],
            "owed": money(view.owed),
        },
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
