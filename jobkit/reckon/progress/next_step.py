"""The next step of a job, from the same facts as its status: dates, outcome, fate, waits, agreement, release list."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import STARTS
from jobkit.reckon.entry.defaults import warm_until
from jobkit.reckon.money.balance import balance, to_give_back
from jobkit.reckon.progress.release import release_steps
from jobkit.reckon.progress.rework import board_bake, parts_to_fit, rework_steps
from jobkit.reckon.progress.status import Status, owed, status
from jobkit.reckon.progress.step import NextStep, ReleaseStep
from jobkit.reckon.suspects.past_causes import PastCauses, no_past
from jobkit.reckon.suspects.possible_checks import PossibleCheck
from jobkit.reckon.suspects.search import search
from jobkit.reckon.warranty.cover import ANOTHER_REPAIR, cover

_WHOLE = {"booked in", "on the bench", "ready"}
"""Statuses at which the next step depends on the entries of the job file."""

_NO_POWER = "no power yet"

_GIVEN_UP = {"kept-for-parts": "to keep the board for parts", "recycled": "to recycle the board"}


def needs_job(facts: Facts) -> bool:
    """Tell whether the next step depends on the entries of the job, and not on its facts alone."""
    stand = status(facts)
    return stand.word in _WHOLE and not stand.waiting


def next_step(
    facts: Facts, job: Job | None, known: Mapping[str, Facts], bench: Bench, past: PastCauses = no_past
) -> NextStep:
    """Tell the next step of a job; `job` is the whole of it where `needs_job`, `known` the facts of others by id.

    `past` gives the finished jobs of a design with their causes, for the search for a fault.
    """
    stand = status(facts)
    if stand.waiting and not facts.sent and stand.word != "done":
        return NextStep("continue when it is here", waits_for=_awaited(facts))
    if job is None or not needs_job(facts):
        return _by_status(facts, stand, bench)
    if stand.word == "booked in":
        return NextStep(_first_look(job, _covered_until(facts, known, bench)))
    return _ready(job, facts, bench) if stand.word == "ready" else _on_the_bench(job, bench, past)


def steps_ahead(first: NextStep, job: Job | None, bench: Bench) -> tuple[NextStep, ...]:
    """Tell the steps that follow one another from the next one on, as far as they can be seen.

    The release list can be seen to its end, and the rework of a part until it is fitted; behind a fault that is not
    found, or a client's answer, nothing can.
    """
    if not first.step or first.waits_for:
        return ()
    rework = rework_steps(job, bench) if job else ()
    if first in rework[:1]:
        return tuple(one for one in rework if not one.waits_for)
    tests = [_test(step, job, bench) for step in release_steps(job, bench) if not step.done] if job else []
    if first not in tests[:1] or any(one.step.startswith(_NO_POWER) for one in tests):
        return (first,)
    return (*tests, NextStep("pack it and send it"))


def _awaited(facts: Facts) -> str:
    wait = next(wait for wait in facts.waits if not wait.until)
    return f"{wait.reason}: {wait.what}" if wait.what else wait.reason


def _by_status(facts: Facts, stand: Status, bench: Bench) -> NextStep:
    """Tell the next step of a job whose dates and payments alone say it."""
    if stand.word == "sent, unpaid" and _is_covered(facts, bench):
        return NextStep(_give_back(facts, bench) or "write down the day it was paid")
    step, waits_for = {
        "announced": ("book it in when it comes", "the board to arrive"),
        "quoted": ("ask the client", "the client's answer"),
        "agreed": ("start", ""),
        "to return": (_to_return(facts), ""),
        "sent, unpaid": ("remind the client to pay", "payment"),
    }.get(stand.word, ("", ""))
    return NextStep(step, waits_for=waits_for)


def _to_return(facts: Facts) -> str:
    return "finish it: outcome, day" if facts.is_given_up else _consent(facts) or "pack it and send it back"


def _consent(facts: Facts) -> str:
    """Say whose consent is missing before a board may be kept or recycled; "" where none is."""
    what = _GIVEN_UP.get(facts.fate, "")
    return f"ask the owner for consent {what}" if what and not facts.owner_agreed else ""


def _covered_until(facts: Facts, known: Mapping[str, Facts], bench: Bench) -> date | None:
    """Tell until when the earlier repair was covered when the board came back; None where the client pays."""
    if facts.comeback_of not in known or facts.comeback_found in ANOTHER_REPAIR or not facts.received:
        return None
    found = cover(facts.comeback_of, known, bench.settings.warranty, date.fromisoformat(facts.received))
    return found.last_day if found.covered else None


def _first_look(job: Job, covered_until: date | None) -> str:
    """Say what is still to be done before the quote; a board under warranty gets none."""
    is_inspected = bool(job.seen) or any(work.did == "inspect" for work in job.work)
    looks = [
        *(() if is_inspected else ("inspect",)),
        *(() if job.readings else ("measure cold",)),
    ]
    if covered_until is None:
        return ", ".join([*looks, "quote"])
    warranty = f"under warranty until {covered_until}, no quote"
    return f"{', '.join(looks or ['start'])} ({warranty})"


def _ready(job: Job, facts: Facts, bench: Bench) -> NextStep:
    """Say what a finished board lacks before it may go: outcome, checks, consent, payment."""
    if not facts.outcome:
        return NextStep("write down the outcome")
    lacking = _lacking(job, bench)
    if lacking and facts.fate not in _GIVEN_UP:
        return _test(lacking, job, bench)
    if _consent(facts):
        return NextStep(_consent(facts))
    back = _give_back(facts, bench)
    if back:
        return NextStep(f"{back}, then pack it and send it")
    is_unpaid = owed(facts) and not facts.paid and not _is_covered(facts, bench)
    return NextStep("ask for payment, or send it" if is_unpaid else "pack it and send it")


def _is_covered(facts: Facts, bench: Bench) -> bool:
    """Tell whether payments and credits leave nothing to pay; not so where the bill cannot be made out."""
    left = balance(facts, bench)
    return left is not None and left.amount <= 0


def _give_back(facts: Facts, bench: Bench) -> str:
    """Say what is to be given back to the client; "" where that is nothing."""
    amount = to_give_back(facts, bench)
    return f"give back {amount}" if amount else ""


def _on_the_bench(job: Job, bench: Bench, past: PastCauses) -> NextStep:
    """Say what a board on the bench needs: its cause found, then the steps that its release still lacks."""
    if job.outcome in {"beyond-repair", "declined"}:
        return NextStep("finish it: fate of the board, paper, date")
    left = rework_steps(job, bench)
    if left:
        return left[0]
    if job.cause is None and job.outcome is None:
        return _find_the_fault(job, bench, past)
    lacking = _lacking(job, bench)
    if not lacking:
        return NextStep("finish it: outcome, paper, date")
    if job.cause and not _has_begun(job):
        fix = NextStep(f"fix {job.cause.part}" if job.cause.part else "repair it")
        return board_bake(job, bench) or fix
    return _test(lacking, job, bench)


def _has_begun(job: Job) -> bool:
    """Tell whether a repair has begun; to bake a board is one only where no part is at fault."""
    part = job.cause.part if job.cause else None
    return any(work.did in STARTS and not (part and work.did == "bake") for work in job.work)


def _find_the_fault(job: Job, bench: Bench, past: PastCauses) -> NextStep:
    """Name the likely cause if there is one, else the check that tells most in a minute."""
    found = search(job, bench, past(job.board.design or ""))
    if found.repaired_without_failure:
        return NextStep("write down the cause, then test it")
    if found.likely:
        return NextStep(f"confirm and write down the cause: {found.likely.candidate.name}")
    if found.cold.near and not found.cold.outside:
        return NextStep(
            f"find the fault: read {', '.join(one.point for one in found.cold.near)} again, finer"
        )
    if found.next:
        return _find_by(found.next[0].check, job, bench)
    if found.cold.unread:
        return NextStep(f"find the fault: read cold {', '.join(found.cold.unread)}{_cold_from(job, bench)}")
    return NextStep("find the fault")


def _find_by(check: PossibleCheck, job: Job, bench: Bench) -> NextStep:
    """Say which check comes next; a board that lacks a part which came off here gets no power."""
    off = ", ".join(parts_to_fit(job)) if check.state == "powered" else ""
    if off:
        return NextStep(f"write down the cause, or fit {off} again: no power without it")
    cold = _cold_from(job, bench) if check.state == "cold" else ""
    return NextStep(f"find the fault: {check.name}{cold}", Decimal(f"{check.minutes:g}"))


def _lacking(job: Job, bench: Bench) -> ReleaseStep | None:
    """Give the first step of the release list that is still open."""
    return next((step for step in release_steps(job, bench) if not step.done), None)


def _test(step: ReleaseStep, job: Job, bench: Bench) -> NextStep:
    """Say which check comes next; a rail that reads wrong comes before any power."""
    if step.shown_by == "reading" and step.lacks != "not read":
        return NextStep(f"{_NO_POWER}: {step.name} is {step.lacks}")
    minutes = step.minutes if step.alone else _minutes_of_check(step.name, job, bench)
    cold = _cold_from(job, bench) if step.shown_by == "reading" else ""
    return NextStep(f"test it: {step.name}{cold}", minutes, step.alone)


def _cold_from(job: Job, bench: Bench) -> str:
    """Say from when on the board is cold enough to be read; "" where its last heat was on an earlier day."""
    cold = warm_until(job, bench.settings.cooling_minutes)
    read_since = any(one.at and cold and one.at >= cold for one in job.readings)
    is_late = cold is not None and bench.today is not None and cold.date() >= bench.today
    return f" (the board is cold from {cold:%H:%M})" if cold and is_late and not read_since else ""


def _minutes_of_check(name: str, job: Job, bench: Bench) -> Decimal | None:
    """Tell how long a check takes, as the board file has it."""
    design = bench.designs.get(job.board.design or "")
    checks = design.checks if design else ()
    return next((check.minutes for check in checks if check.name == name), None)
