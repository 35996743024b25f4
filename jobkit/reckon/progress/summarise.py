"""The jobs in rows, picked by what they are, where they are, and when they moved."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.progress.flow import age_days
from jobkit.reckon.progress.status import Status, status


class SummaryRow(NamedTuple):
    """One job, where it is, and how many days it has been here (or was, until it left)."""

    facts: Facts
    status: Status
    age_days: int | None


class Span(NamedTuple):
    """A stretch of days, both ends included; an end that is None is open."""

    since: date | None = None
    until: date | None = None

    def holds(self, day: str) -> bool:
        """Tell whether a day is in it; no day at all is only in a span that is open at both ends."""
        if self.since is None and self.until is None:
            return True
        return bool(day) and (
            (self.since is None or day >= self.since.isoformat())
            and (self.until is None or day <= self.until.isoformat())
        )


class Filters(NamedTuple):
    """What a job has to be to be picked; what is empty asks nothing.

    A job has one of the `statuses`, waits for one of `waiting`, and so on; `causes` are parts of words, looked for in
    part and fault, in capitals or not.
    """

    statuses: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    outcomes: tuple[str, ...] = ()
    clients: tuple[str, ...] = ()
    designs: tuple[str, ...] = ()
    causes: tuple[str, ...] = ()
    received: Span = Span()
    finished: Span = Span()
    sent: Span = Span()


def summarise(facts: Iterable[Facts], filters: Filters, on: date) -> tuple[SummaryRow, ...]:
    """List the jobs that pass all filters, in order of receipt; `facts` are those known at the end of `on`."""
    rows = (SummaryRow(one, status(one), age_days(one, on)) for one in facts)
    picked = (row for row in rows if _passes(row, filters))
    return tuple(sorted(picked, key=lambda row: (row.facts.known_from, row.facts.id)))


def cause(one: Facts) -> str:
    """Say what it was: "Q214: power stage shorted", or what of it is known."""
    return ": ".join(filter(None, (one.cause_part, one.cause_fault)))


def _passes(row: SummaryRow, filters: Filters) -> bool:
    one = row.facts
    return (
        _among(row.status.word, filters.statuses)
        and _among(row.status.waiting, filters.waiting)
        and _among(one.outcome, filters.outcomes)
        and _among(one.client, filters.clients)
        and _among(one.design, filters.designs)
        and (not filters.causes or any(word.casefold() in cause(one).casefold() for word in filters.causes))
        and filters.received.holds(one.received)
        and filters.finished.holds(one.finished)
        and filters.sent.holds(one.sent)
    )


def _among(value: str, wanted: tuple[str, ...]) -> bool:
    return not wanted or value in wanted
