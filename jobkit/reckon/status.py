"""The status of a job, derived from its dates so that it can never go stale."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, parse_money

STATUSES = (
    "booked in", "quoted", "agreed", "on the bench", "to return", "ready", "sent, unpaid", "done",
)  # fmt: skip
"""In the order of a job's life."""


class Status(NamedTuple):
    """Where a job stands, and for what it waits ("" = for nothing)."""

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
    """Tell what the client owes for the job, paid or not; None where there is nothing to pay.

    The charge stands where there is one. Before that it is what was last agreed, else what was quoted, for a job that
    went well, and the price for a board not repaired for one that did not.
    """
    text = facts.price_charged or _expected(facts)
    money = parse_money(text) if text else None
    return money if money and money.amount != Decimal(0) else None


def _expected(facts: Facts) -> str:
    if facts.outcome in {"beyond-repair", "declined"} or (facts.declined and not facts.outcome):
        return facts.price_if_not
    return facts.price_agreed[-1][1] if facts.price_agreed else facts.price_quoted


def _word(facts: Facts) -> str:
    if facts.collected or (facts.sent and (facts.paid or owed(facts) is None)):
        return "done"
    if facts.sent:
        return "sent, unpaid"
    reached = (
        (facts.finished, "ready"),
        (facts.declined, "to return"),
        (facts.started, "on the bench"),
        (facts.agreed, "agreed"),
        (facts.quoted, "quoted"),
    )
    return next((word for day, word in reached if day), "booked in")
