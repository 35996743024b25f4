"""What to work on next: jobs that can go on, each with its next step, and what can run by itself meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.reckon.progress.release import release_steps
from jobkit.reckon.progress.status import Status, owed, status

_AT_WORK = Status("on the bench")


class NextStep(NamedTuple):
    """An open job and its next step.

    `minutes` are bench minutes, or the minutes it runs where it runs `alone`; None where nothing tells them.
    `waits_for` says what the job waits for; "" where nothing stands in the way.
    """

    facts: Facts
    status: Status
    step: str
    minutes: Decimal | None = None
    alone: bool = False
    waits_for: str = ""


def is_at_work(facts: Facts) -> bool:
    """Tell whether the next step of a job is to be found only in the whole of it."""
    return status(facts) == _AT_WORK


def queue_of(known: Iterable[Facts], at_work: Mapping[str, Job], bench: Bench) -> tuple[NextStep, ...]:
    """Order the open ones of these jobs as you work on them: by promise, then by age; those that wait come last.

    `at_work` are the jobs that `is_at_work` tells of, by path.
    """
    found = (_next_step(facts, at_work, bench) for facts in known)
    return tuple(sorted((one for one in found if one.status.word != "done"), key=_urgency))


def _urgency(one: NextStep) -> tuple[bool, str, str, str]:
    facts = one.facts
    return bool(one.waits_for), facts.promised or date.max.isoformat(), facts.known_from, facts.id


def _next_step(facts: Facts, at_work: Mapping[str, Job], bench: Bench) -> NextStep:
    stand, job = status(facts), at_work.get(facts.path)
    if stand.waiting:
        return NextStep(facts, stand, "continue when it is here", waits_for=_awaited(facts))
    if job and stand == _AT_WORK:
        return _on_the_bench(job, facts, stand, bench)
    step, waits_for = _by_status(facts, stand.word)
    return NextStep(facts, stand, step, waits_for=waits_for)


def _awaited(facts: Facts) -> str:
    wait = next(wait for wait in facts.waits if not wait.until)
    return f"{wait.reason}: {wait.what}" if wait.what else wait.reason


def _by_status(facts: Facts, word: str) -> tuple[str, str]:
    """Name the next step of a job that is not on the bench, and what it waits for."""
    if word == "ready" and owed(facts) and not facts.paid:
        return "ask for payment, or send it", ""
    return {
        "announced": ("book it in when it comes", "the board to arrive"),
        "booked in": ("inspect, measure cold, quote", ""),
        "quoted": ("ask the client", "the client's answer"),
        "agreed": ("start", ""),
        "to return": ("pack it and send it back", ""),
        "ready": ("pack it and send it", ""),
        "sent, unpaid": ("remind the client to pay", "payment"),
    }.get(word, ("", ""))


def _on_the_bench(job: Job, facts: Facts, stand: Status, bench: Bench) -> NextStep:
    """Before the cause is known it has to be found; then follow the steps that its release still lacks."""
    if job.cause is None and job.outcome is None:
        return NextStep(facts, stand, "find the fault")
    steps = [step for step in release_steps(job, bench) if not step.done]
    if not steps:
        return NextStep(facts, stand, "finish it: outcome, paper, date")
    if not any(work.did in _REPAIRS for work in job.work):
        return NextStep(
            facts, stand, f"repair {job.cause.part}" if job.cause and job.cause.part else "repair it"
        )
    step = steps[0]
    minutes = step.minutes if step.alone else _minutes_of_check(step.name, job, bench)
    return NextStep(facts, stand, f"test it: {step.name}", minutes, step.alone)


_REPAIRS = ("remove", "fit", "reball", "reflow", "swap", "rebuild-pads", "bake", "thermal", "clean", "other")


def _minutes_of_check(name: str, job: Job, bench: Bench) -> Decimal | None:
    """Tell how long a check takes, as the board file has it."""
    design = bench.designs.get(job.board.design or "")
    checks = design.checks if design else ()
    return next((check.minutes for check in checks if check.name == name), None)
