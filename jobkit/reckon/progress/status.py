"""The status of a job, derived from its dates so that it can never go stale."""

from __future__ import annotations

from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.priced import to_pay

STATUSES = (
    "announced", "booked in", "quoted", "agreed", "on the bench", "to return", "ready", "sent, unpaid", "done",
)  # fmt: skip
"""In the order of a job's life."""


class Status(NamedTuple):
    """The status of a job, and for what it waits ("" = for nothing)."""

    word: str
    waiting: str = ""

    def __str__(self) -> str:
        """Say it in one phrase."""
        return f"{self.word}, waiting for {self.waiting}" if self.waiting else self.word


def status(facts: Facts) -> Status:
    """Derive the status: the first line that applies."""
    word = _word(facts)
    return Status(word, "" if word == "done" else waiting(facts))


def waiting(facts: Facts) -> str:
    """Name what an open wait is for: parts, client, donor or shipping."""
    return next((wait.reason for wait in facts.waits if not wait.until), "")


def owed(facts: Facts) -> Money | None:
    """Tell what the client owes for the job before tax, paid or not; None where there is nothing to pay.

    It is what the lines of the bill come to: the bench's own lines, else the charge, before that what was last agreed,
    else what was quoted, and the price for a board not repaired for one that was not; with shipping, less credits. Only
    `dates.paid` says that it has been paid. What is left to pay with tax is `bill.still_owed`.
    """
    return to_pay(facts)


def _word(facts: Facts) -> str:
    if facts.is_on_its_way:
        # What never came need not be sent back.
        return "done" if facts.declined else "announced"
    if facts.collected or (facts.sent and (facts.paid or owed(facts) is None)):
        return "done"
    if facts.is_given_up and facts.finished:
        # There is nothing to send: what is still to pay is told by `due`.
        return "done"
    if facts.sent:
        return "sent, unpaid"
    reached = (
        (facts.finished, "ready"),
        (facts.declined, "to return"),
        (facts.started, "on the bench"),
        (facts.is_agreed, "agreed"),
        (facts.quoted, "quoted"),
    )
    return next((word for day, word in reached if day), "booked in")
