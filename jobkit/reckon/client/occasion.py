"""What a message to the client is about: the step at hand."""

from __future__ import annotations

from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.reckon.money.debts import debt
from jobkit.reckon.progress.release import release_steps
from jobkit.units.errors import MisuseError

RECEIVED, QUOTE, READY, SENT, PAYMENT, WARRANTY = (
    "received", "quote", "ready", "sent", "payment", "warranty",
)  # fmt: skip
"""It came in; the quote; it is ready; it was sent; a reminder to pay; the answer to a question about the warranty."""

OCCASIONS = (RECEIVED, QUOTE, READY, SENT, PAYMENT, WARRANTY)


class OccasionError(MisuseError):
    """A message for which the job is not so far, or a step at which there is nothing to write."""


def occasion(job: Job, facts: Facts, bench: Bench, on: date) -> str:
    """Return what there is to write about, from the job and its facts as of a day; raises OccasionError.

    A message of the client after the board was gone comes first, then a debt that is overdue.
    """
    owed = debt(facts, bench)
    if facts.gone and _asked_since(job, facts.gone):
        return WARRANTY
    if owed and owed.days_late(on) > 0:
        return PAYMENT
    if facts.sent:
        return SENT
    if facts.finished or facts.declined or facts.gone:
        _check_proved(job, facts, bench)
        return READY
    if facts.is_agreed or facts.started:
        raise OccasionError(f"{facts.id} is on the bench, with nothing to write", f"choose: {_choices()}")
    return QUOTE if facts.price_quoted else RECEIVED


def check_occasion(about: str, facts: Facts, bench: Bench) -> None:
    """Refuse a message for which the job is not so far; raises OccasionError."""
    lacks = {
        QUOTE: "" if facts.price_quoted else "has no quote",
        READY: "" if facts.finished or facts.declined else "is not finished",
        SENT: "" if facts.sent else "was not sent",
        PAYMENT: "" if debt(facts, bench) else "has nothing left to pay",
    }.get(about, "")
    if lacks:
        raise OccasionError(f"{facts.id} {lacks}", f"choose another: {_choices()}")


def _check_proved(job: Job, facts: Facts, bench: Bench) -> None:
    """Refuse to call a board ready that is still to be proved; raises OccasionError."""
    lacks = [step for step in release_steps(job, bench) if not step.done]
    if job.outcome and not facts.gone and lacks:
        more = f", and {len(lacks) - 1} more" if lacks[1:] else ""
        raise OccasionError(
            f"{facts.id} is finished, but not proved: {lacks[0].name}: {lacks[0].lacks}{more}",
            f"`jobkit show {facts.id}` lists what is open; to write it all the same: --about {READY}",
        )


def _asked_since(job: Job, gone: str) -> bool:
    """Tell whether the client wrote after the board was gone, and what was written last was the client's."""
    said = sorted((one for one in job.messages if one.at), key=lambda one: (one.at is None, one.at))
    last = said[-1] if said else None
    is_theirs = bool(last and last.other == "client" and last.sender != "us")
    return is_theirs and bool(last and last.at and last.at.date().isoformat() > gone)


def _choices() -> str:
    return "--about " + ", ".join(OCCASIONS)
