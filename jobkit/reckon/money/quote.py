"""The price of a job as it was quoted, whatever became of it since."""

from __future__ import annotations

from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import add
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, parse_money
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.bill import Bill, bill
from jobkit.units.errors import MisuseError


class QuoteError(MisuseError):
    """A job that has no quote."""


class Quote(NamedTuple):
    """A quote: its day, the price, the bill that it leads to, the ceiling, the price if declined, and its last day.

    Amounts but the bill's are net or gross, as prices are given; `holds_until` is None where bench.toml does not say
    how long.
    """

    on: date
    price: Money
    bill: Bill
    ceiling: Money | None
    declined: Money | None
    holds_until: date | None


def quote(facts: Facts, bench: Bench, on: date) -> Quote:
    """Make out the quote of a job from its facts; raises QuoteError where there is none, BillError, DurationError.

    A quote without a day is of the day `on`.
    """
    if not facts.price_quoted:
        mend = "write the price first: `jobkit jot price quoted 160`"
        raise QuoteError(f"{facts.id} has no quote", mend)
    day = date.fromisoformat(facts.quoted) if facts.quoted else on
    holds = bench.settings.papers.quote_holds
    return Quote(
        day,
        parse_money(facts.price_quoted),
        bill(_as_quoted(facts), bench, on=day.isoformat()),
        parse_money(facts.price_ceiling) if facts.price_ceiling else None,
        parse_money(facts.price_if_not) if facts.price_if_not else None,
        add(day, holds) if holds else None,
    )


def _as_quoted(facts: Facts) -> Facts:
    """Leave out all that came after the quote."""
    return facts._replace(
        agreed="",
        price_agreed=(),
        price_charged="",
        price_lines=(),
        outcome="",
        finished="",
        declined="",
        sent="",
        collected="",
        paid="",
        payments=(),
        refunds=(),
        credits=(),
        discounts=(),
        invoice_number="",
        invoice_on="",
    )
