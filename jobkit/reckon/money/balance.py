"""What is left to pay for a job, what is to give back, and what the job earned; without making out the whole bill."""

from __future__ import annotations

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, negated, total
from jobkit.reckon.money.account import account_of, earned_on, owed_of
from jobkit.reckon.money.priced import NOTHING, SHIPPING, basis, priced
from jobkit.reckon.money.sheets import sheets
from jobkit.units.errors import MisuseError


def balance(facts: Facts, bench: Bench) -> Money | None:
    """Return the balance due for a job: with tax, less what was paid, negative where money is to be given back.

    None where nothing is priced, and for a job that cannot be billed; `bill` and lint say why.
    """
    if basis(facts) == NOTHING:
        return None
    try:
        lines = priced(facts)
        account = account_of(facts, lines, bench.settings)
        return owed_of(facts, lines, account)
    except MisuseError:
        return None


def still_owed(facts: Facts, bench: Bench) -> Money | None:
    """Return what is left to pay for a job; None where that is nothing or less."""
    owed = None if facts.paid else balance(facts, bench)
    return owed if owed and owed.amount > 0 else None


def to_give_back(facts: Facts, bench: Bench) -> Money | None:
    """Return what the bench owes the client for a job that is over; None where that is nothing."""
    over = facts.finished or facts.sent or facts.collected or facts.declined
    if not over or not (facts.payments or facts.credits):
        return None
    owed = balance(facts, bench)
    return negated(owed) if owed and owed.amount < 0 else None


def earned(facts: Facts, bench: Bench) -> Money | None:
    """Return what a job's bill is without tax and shipping, less credits; None where nothing is priced.

    Raises BillError for a job that cannot be billed.
    """
    if basis(facts) == NOTHING and not (facts.refunds or facts.unreadable):
        return None
    lines = priced(facts)
    account = account_of(facts, lines, bench.settings)
    if basis(facts) == NOTHING:
        return None
    if account.how.tax.prices == "net":
        # Prices hold no tax, so none has to be taken out of them: a sum over all jobs is quicker for it.
        return total((line.amount for line in lines if line.kind != SHIPPING), account.how.currency)
    return earned_on(sheets(lines, account.how))
