"""Terms that change from a day on: which of them is in force on a day."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

from jobkit.jobs.facts import Day
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple


class Dated(Protocol):
    """An entry of a history, in force from `since` on; "" for one that was in force from the start."""

    @property
    def since(self) -> Day:
        """The first day on which the entry is in force."""


class AmountSince(NamedTuple):
    """An hourly rate, or what one piece costs, from a day on; `amount` is None where it could not be read."""

    since: Day = ""
    amount: Money | None = None


_Entry = TypeVar("_Entry", bound=Dated)


def in_force(history: Iterable[_Entry], day: Day) -> _Entry | None:
    """Return the entry in force on a day, None before the first day of the first one.

    The entries are in the order of their days, so a later entry never changes the answer for an earlier day.

    >>> rates = (AmountSince("", None), AmountSince("2026-07-01", None))
    >>> in_force(rates, "2026-06-30"), in_force(rates[1:], "2026-06-30")
    (AmountSince(since='', amount=None), None)
    """
    found = None
    for entry in history:
        if entry.since > day:
            break
        found = entry
    return found


def amount_in_force(history: Iterable[AmountSince], day: Day) -> Money | None:
    """Return the amount in force on a day, None where there is none."""
    entry = in_force(history, day)
    return entry.amount if entry else None


def latest(history: Iterable[AmountSince]) -> Money | None:
    """Return the amount of the last entry, whenever it begins."""
    return next((entry.amount for entry in reversed(tuple(history))), None)
