"""Which of the bench's terms a job goes by: tax, warranty, hourly rate and cost, each on the day that counts for it.

A term that changes later never changes what an earlier day was billed, promised or spent.
"""

from __future__ import annotations

from jobkit.jobs.facts import Day, Facts, WorkRow
from jobkit.jobs.money import Money
from jobkit.jobs.settings import Settings, Tax


def supply_day(facts: Facts, settings: Settings, on: Day = "") -> Day:
    """Return the day of supply, whose tax a bill goes by: the day on which the job was finished or sent.

    Which of the two, `supply` in bench.toml says. A repair is a service, supplied when it is done: VAT Directive
    2006/112/EC, article 63. A job that is not so far goes by the day `on`, or the last day on which something was done.
    """
    gone = facts.gone
    done = facts.finished or facts.declined
    return (gone if settings.supply == "sent" else done or gone) or on or facts.last_done


def tax_of(facts: Facts, settings: Settings, on: Day = "") -> Tax:
    """Return how a job is taxed."""
    return settings.tax_on(supply_day(facts, settings, on))


def closed_day(facts: Facts) -> Day:
    """Return the day on which a job counts as earned: finished, or declined by the client; "" while it is open."""
    return facts.finished or facts.declined


def agreed_day(facts: Facts, on: Day) -> Day:
    """Return the day on which the warranty was agreed: that of the agreement, else when the work began, or was over.

    As long as nothing of this has happened, the warranty is the one that the bench would agree to on the day `on`.
    """
    return facts.agreed or facts.started or facts.finished or facts.sent or facts.collected or on


def rate_of(work: WorkRow, facts: Facts, settings: Settings) -> Money | None:
    """Return the hourly rate on the day of a piece of work."""
    return settings.rate_on(work.day or usual_day(facts))


def usual_day(facts: Facts) -> Day:
    """Return the day for an entry without one: when the job was done, else begun, else here."""
    return facts.finished or facts.started or facts.received
