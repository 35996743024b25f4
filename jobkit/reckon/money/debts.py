"""What is left to pay for a job that is over, and since when: a debt ages from the day on which it was due."""

from __future__ import annotations

from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import Duration, DurationError, add
from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.balance import still_owed, to_give_back

ENDS = ("sent", "collected", "finished", "declined")
"""The dates that end a job, in the order in which they decide since when money is owed."""


class Debt(NamedTuple):
    """What a client owes for a job: since which of its dates, and on which day it was due."""

    job: Facts
    owed: Money
    how: str
    since: date
    due: date

    def days_late(self, on: date) -> int:
        """Count the days past the day on which it was due; negative before."""
        return (on - self.due).days


class GiveBack(NamedTuple):
    """What the bench owes a client, since the last payment or credit note."""

    job: Facts
    amount: Money
    since: date


def debt(one: Facts, bench: Bench) -> Debt | None:
    """Return what is left to pay for a job that is over; None where that is nothing.

    It is due so many days after the invoice, or after the job was over, as `payment` under [patience] says.
    """
    how = next((name for name in ENDS if getattr(one, name)), "")
    # To make out a bill takes time: not for what is paid, or not to be paid yet.
    owed = still_owed(one, bench) if how and not one.paid else None
    if owed is None:
        return None
    since = date.fromisoformat(getattr(one, how))
    return Debt(one, owed, how, since, pay_until(one.invoice_on or since.isoformat(), bench))


def pay_until(day: Day, bench: Bench) -> date:
    """Return the day by which a client is to pay, counted from the invoice, or from the day that ended the job."""
    return _later(date.fromisoformat(day), bench.settings.patience.payment)


def give_back(one: Facts, bench: Bench) -> GiveBack | None:
    """Return what the bench owes the client of a job that is over; None where that is nothing."""
    amount = to_give_back(one, bench)
    if amount is None:
        return None
    last = max((*(each.day for each in one.payments), *(each.day for each in one.credits)))
    ended = next(getattr(one, name) for name in ENDS if getattr(one, name))
    return GiveBack(one, amount, date.fromisoformat(max(last, ended)))


def _later(day: date, days: int) -> date:
    try:
        return add(day, Duration(days=days))
    except DurationError:
        return date.max
