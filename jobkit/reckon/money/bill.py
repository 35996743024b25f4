"""What a client owes for a job: lines, tax, payments, and what is left to pay.

This is arithmetic on what the job file says. It is not tax advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Day, Facts, Paid
from jobkit.jobs.money import Money, negated, total
from jobkit.jobs.settings import Tax
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.account import Account, account_of, check_readable, earned_on, owed_of
from jobkit.reckon.money.priced import (
    DISCOUNT,
    NOTHING,
    REPAIR,
    Priced,
    agreement,
    basis,
    discounts,
    most_allowed,
    price_of_repair,
    repair_lines,
    shipping_and_credits,
)
from jobkit.reckon.money.sheets import Sheet, sheets
from jobkit.reckon.money.tax import Totals
from jobkit.reckon.money.time_and_materials import CUT, LABOUR, PART, ByTheMinute, by_the_minute

BREAKDOWN = "breakdown"
"""The basis of a bill by the minute, labour at the bench's rate and parts. The client did not agree to it, so it is not
owed.
"""


class Bill(NamedTuple):
    """A bill as of the end of a day.

    `basis` names what the price is based on, `kinds` what each line of `totals` is for. `rounding` is what rounding to
    coins adds, `notes` are the credit notes after the invoice. `paid` adds up the payments, `refunded` what was paid
    back, `settled` is the day that `dates.paid` names. `owed` is the balance due: negative where money is to be given
    back, None where nothing has been priced. `agreed` is what the client agreed to last, `most` the most it may cost,
    and `asked` what the repair costs in the same terms: before tax where prices are net, with it where they are gross.
    `earned` is without tax and shipping, less credits. The last four are for a breakdown only.
    """

    job: str
    basis: str
    tax: Tax
    kinds: tuple[str, ...]
    totals: Totals
    rounding: Money
    notes: tuple[Sheet, ...]
    payments: tuple[Paid, ...]
    refunds: tuple[Paid, ...]
    paid: Money
    refunded: Money
    settled: Day
    owed: Money | None
    agreed: tuple[Day, Money] | None
    most: Money | None
    asked: Money | None
    earned: Money
    note: str = ""
    minutes: tuple[tuple[str, Decimal], ...] = ()
    unpriced: tuple[str, ...] = ()
    cut: Money | None = None
    instead_of: Money | None = None

    @property
    def currency(self) -> str:
        """Name the currency of the bill."""
        return self.totals.gross.currency

    @property
    def to_pay(self) -> Money:
        """Return what the bill charges: with tax, rounded to coins, without credit notes."""
        return total([self.totals.gross, self.rounding], self.currency)

    @property
    def charged(self) -> Money:
        """Return what the client is charged in all: the bill less its credit notes."""
        return total([self.to_pay, *(note.to_pay for note in self.notes)], self.currency)

    @property
    def over(self) -> Money | None:
        """Tell by how much the repair is above the most it may come to; None where it is not."""
        if self.asked is None or self.most is None or self.asked.currency != self.most.currency:
            return None
        more = total([self.asked, negated(self.most)], self.currency)
        return more if more.amount > 0 else None


def bill(facts: Facts, bench: Bench, *, breakdown: bool = False, on: Day = "") -> Bill:
    """Make out the bill of a job, from its facts as of a day.

    With `breakdown`, and where nothing has been priced, the repair is calculated by the minute instead: see
    `by_the_minute`. Tax is that of the line, else of the job, else of the item in stock.toml, else of the bench on the
    day of supply, for which a job that is still open takes the day `on`. Raises BillError where currencies are mixed or
    none is known, where more was paid back than was paid, and where labour has no rate.
    """
    based_on = basis(facts)
    is_timed = breakdown or based_on == NOTHING
    check_readable(facts, ("price", "invoice", "used", "work") if is_timed else ("price", "invoice"))
    timed = by_the_minute(facts, bench) if is_timed else None
    repair = timed.lines if timed else (*repair_lines(facts), *discounts(facts))
    lines = (*repair, *shipping_and_credits(facts))
    account = account_of(facts, lines, bench.settings, on)
    made = _made_out(facts, lines, account, based_on)
    return _view(made, timed, facts) if timed else made._replace(owed=owed_of(facts, lines, account))


def _made_out(facts: Facts, lines: Sequence[Priced], account: Account, based_on: str) -> Bill:
    """Make out all of a bill but what is owed."""
    main, *notes = sheets(lines, account.how)
    return Bill(
        job=facts.id,
        basis=based_on,
        tax=account.how.tax,
        kinds=tuple(line.kind for line in main.lines),
        totals=main.totals,
        rounding=main.rounding,
        notes=tuple(notes),
        payments=tuple(sorted(facts.payments, key=_day)),
        refunds=tuple(sorted(facts.refunds, key=_day)),
        paid=account.paid,
        refunded=account.refunded,
        settled=facts.paid,
        owed=None,
        agreed=agreement(facts),
        most=most_allowed(facts),
        asked=_sum_of(lines, account.how.currency, (REPAIR, DISCOUNT, LABOUR, PART, CUT)),
        earned=earned_on((main, *notes)),
        note=facts.price_tax_note,
    )


def _view(made: Bill, timed: ByTheMinute, facts: Facts) -> Bill:
    """Add what a breakdown alone says; nothing is owed for it."""
    return made._replace(
        basis=BREAKDOWN,
        minutes=timed.minutes,
        unpriced=timed.unpriced,
        cut=timed.cut,
        instead_of=None if made.basis == NOTHING else price_of_repair(facts),
    )


def _day(paid: Paid) -> Day:
    return paid.day


def _sum_of(lines: Iterable[Priced], currency: str, kinds: Sequence[str]) -> Money | None:
    amounts = [line.amount for line in lines if line.kind in kinds]
    return total(amounts, currency) if amounts else None
