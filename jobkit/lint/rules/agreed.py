"""What was agreed with the client: price, payment, and what becomes of the board."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.money import Money, MoneyError, is_above
from jobkit.lint.registry import Found, rule
from jobkit.reckon.money.priced import most_allowed, price_of_repair
from jobkit.reckon.progress.status import owed


@rule("error")
def price_over_agreed(job: Job, _bench: Bench) -> Iterator[Found]:
    """More was charged than the client agreed to.

    What it finds: `charged`, or the sum of the [[price.line]]s, less discounts, above the price last agreed to and
    above `ceiling`; for a board beyond repair or declined, above `if_not_repaired`. A quote with a day of agreement and
    no amount was agreed to as quoted. Also a charge in another currency than the agreement, as the two cannot be
    compared.

    Why it matters: the client owes what was agreed. (This is not legal advice.)

    How to fix: ask before charging more, and write down the answer as another [[price.agreed]]; or correct the charge.

    Example: `charged = "212.00 EUR"` with `ceiling = "200.00 EUR"` and 160.00 EUR agreed.
    """
    price = job.price
    if price is None or not (price.charged or price.lines) or job.is_broken("price"):
        return
    facts = facts_of(job)
    most, asked = most_allowed(facts), _asked(facts)
    if most is None or asked is None:
        return
    key = "charged" if price.charged else "line"
    if asked.currency != most.currency:
        message = f"charged {asked}, but agreed in {most.currency}"
        yield Found(("price", key), key, message, "charge in the currency of the agreement")
    elif is_above(asked, most):
        message = f"charged {asked}, but no more than {most} was agreed to"
        mend = "correct the charge, or add the later agreement as [[price.agreed]]"
        yield Found(("price", key), key, message, mend)


def _asked(facts: Facts) -> Money | None:
    """Add up what the repair costs; None where currencies are mixed, which currency-mixed reports."""
    try:
        return price_of_repair(facts)
    except MoneyError:
        return None


@rule("warning")
def sent_unpaid(job: Job, bench: Bench) -> Iterator[Found]:
    """A board was sent before it was paid.

    What it finds: a board that was sent or collected, with something to pay and no `paid`.

    Why it matters: the board is the only security a bench has. After it has gone, only a reminder is left (`jobkit
    due`).

    How to fix: add `paid` once the money is there; for a client who pays by invoice, waive it and say so.

    Example: `sent = 2026-10-19`, `charged = "150.00 EUR"` and no `paid`.
    """
    gone = "sent" if job.dates.sent else "collected" if job.dates.collected else ""
    if not gone or job.dates.paid or job.price is None or job.is_broken("price"):
        return
    facts = facts_of(job)
    if owed(facts):
        # A lint of jobs that are paid, or still here, need not wait for it.
        from jobkit.reckon.money.balance import still_owed  # noqa: PLC0415

        left = still_owed(facts, bench)
        message = f"the board was {gone}, and {f'{left} is not paid' if left else 'it does not say paid'}"
        yield Found(("dates", "paid"), "paid", message, "add paid under [dates] when you have the money")


@rule("error")
def fate_unasked(job: Job, _bench: Bench) -> Iterator[Found]:
    """A board was kept or recycled without its owner's consent.

    What it finds: [fate] `kept-for-parts` or `recycled` without `owner_agreed = true`.

    Why it matters: the board belongs to the client until the client gives it away. (This is not legal advice.)

    How to fix: ask, keep the answer, and set `owner_agreed = true`.

    Example: `is = "kept-for-parts"` and nothing else under [fate].
    """
    if job.fate and job.fate.what in {"kept-for-parts", "recycled"} and not job.fate.owner_agreed:
        message = f'the board is "{job.fate.what}", and the consent of its owner is not recorded'
        mend = "ask the owner, then set owner_agreed = true"
        yield Found(("fate", "owner_agreed"), "owner_agreed", message, mend)
