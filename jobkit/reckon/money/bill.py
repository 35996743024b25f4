"""What a client owes for a job: lines, tax, payments, and what is left to pay.

This is arithmetic on what the job file says. It is not tax advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Day, Facts, Paid
from jobkit.jobs.in_force import latest
from jobkit.jobs.money import Money, check_currency, negated, parse_money, total
from jobkit.jobs.settings import Settings, Tax
from jobkit.reckon.money.priced import (
    CREDIT,
    DISCOUNT,
    NOTHING,
    REPAIR,
    SHIPPING,
    Priced,
    agreement,
    basis,
    discounts,
    most_allowed,
    percent,
    price_of_repair,
    priced,
    repair_lines,
    shipping_and_credits,
)
from jobkit.reckon.money.refunds import paid_sums
from jobkit.reckon.money.sheets import Sheet, Taxation, charged, sheets
from jobkit.reckon.money.tax import Totals
from jobkit.reckon.money.terms import tax_of
from jobkit.reckon.money.time_and_materials import CUT, LABOUR, PART, by_the_minute
from jobkit.units.errors import MisuseError

BREAKDOWN = "breakdown"
"""The basis of a bill by the minute, labour at the bench's rate and parts. The client did not agree to it, so it is not
owed.
"""


class BillError(MisuseError):
    """A job that cannot be billed as it is."""


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


class _Account(NamedTuple):
    """How a bill is taxed and in which currency, and what was paid and paid back."""

    how: Taxation
    paid: Money
    refunded: Money


def bill(facts: Facts, bench: Bench, *, breakdown: bool = False, on: Day = "") -> Bill:
    """Make out the bill of a job, from its facts as of a day.

    With `breakdown`, and where nothing has been priced, the repair is calculated by the minute instead: see
    `by_the_minute`. Tax is that of the line, else of the job, else of the item in stock.toml, else of the bench on the
    day of supply, for which a job that is still open takes the day `on`. Raises BillError where currencies are mixed or
    none is known, where more was paid back than was paid, and where labour has no rate.
    """
    based_on = basis(facts)
    _check_readable(facts, ("price", "used", "work") if breakdown or based_on == NOTHING else ("price",))
    timed = by_the_minute(facts, bench) if breakdown or based_on == NOTHING else None
    lines = (
        *(timed.lines if timed else (*repair_lines(facts), *discounts(facts))),
        *shipping_and_credits(facts),
    )
    account = _account(facts, lines, bench.settings, on)
    main, *notes = sheets(lines, account.how)
    made = Bill(
        facts.id,
        BREAKDOWN if timed else based_on,
        account.how.tax,
        tuple(line.kind for line in main.lines),
        main.totals,
        main.rounding,
        tuple(notes),
        tuple(sorted(facts.payments, key=_day)),
        tuple(sorted(facts.refunds, key=_day)),
        account.paid,
        account.refunded,
        facts.paid,
        None if timed else _owed(facts, lines, account),
        agreement(facts),
        most_allowed(facts),
        _sum_of(lines, account.how.currency, (REPAIR, DISCOUNT, LABOUR, PART, CUT)),
        _earned((main, *notes)),
        facts.price_tax_note,
    )
    if timed is None:
        return made
    return made._replace(
        minutes=timed.minutes,
        unpriced=timed.unpriced,
        cut=timed.cut,
        instead_of=None if based_on == NOTHING else price_of_repair(facts),
    )


def balance(facts: Facts, bench: Bench) -> Money | None:
    """Return the balance due for a job: with tax, less what was paid, negative where money is to be given back.

    None where nothing is priced, and for a job that cannot be billed; `bill` and lint say why.
    """
    if basis(facts) == NOTHING:
        return None
    try:
        lines = priced(facts)
        account = _account(facts, lines, bench.settings)
        return _owed(facts, lines, account)
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
    account = _account(facts, lines, bench.settings)
    if basis(facts) == NOTHING:
        return None
    if account.how.tax.prices == "net":
        # Prices hold no tax, so none has to be taken out of them: a sum over all jobs is quicker for it.
        return total((line.amount for line in lines if line.kind != SHIPPING), account.how.currency)
    return _earned(sheets(lines, account.how))


def _earned(papers: Sequence[Sheet]) -> Money:
    kept = (
        row.net
        for paper in papers
        for line, row in zip(paper.lines, paper.totals.lines, strict=True)
        if line.kind != SHIPPING
    )
    return total(kept, papers[0].rounding.currency)


def _day(paid: Paid) -> Day:
    return paid.day


def usual_currency(settings: Settings) -> str:
    """Name the bench's currency; raises BillError where bench.toml names none."""
    rate = latest(settings.rate)
    currency = settings.currency or (rate.currency if rate else None)
    if currency is None:
        raise BillError(
            "there is no price yet, and bench.toml names no currency", "write currency under [bench]"
        )
    return currency


def _check_readable(facts: Facts, tables: Iterable[str]) -> None:
    """Raise BillError where one of these tables could not be read: the bill would be wrong, and look right."""
    broken = next((table for table in tables if table in facts.unreadable), None)
    if broken:
        message = f'{facts.id} cannot be billed while its "{broken}" has errors'
        raise BillError(message, f"see `jobkit lint {facts.path}`")


def _account(facts: Facts, lines: Sequence[Priced], settings: Settings, on: Day = "") -> _Account:
    """Find the currency and the tax of a bill, and add up what was paid and paid back; raises BillError."""
    _check_readable(facts, ("price",))
    currency = _currency(facts, lines, settings)
    tax, own = tax_of(facts, settings, on), percent(facts.price_tax)
    how = Taxation(currency, tax, tax.rate if own is None else own, settings.cash_rounding)
    return _Account(how, *paid_sums(facts, currency))


def _owed(facts: Facts, lines: Sequence[Priced], account: _Account) -> Money:
    """Take off what was paid, and add what was paid back.

    The day of `dates.paid` says that nothing is left to pay: the payments that are written down, or the bill as it was
    on that day where none are. What a later credit note takes off is then to be given back.
    """
    currency, whole, paid = account.how.currency, _charged(lines, account), account.paid
    if not facts.paid:
        return total([whole, negated(paid), account.refunded], currency)
    if not facts.payments:
        late = sum(note.day > facts.paid for note in facts.credits if note.amount)
        paid = _charged([*_without_late(lines, facts)], account) if late else whole
    left = total([whole, negated(paid), account.refunded], currency)
    return left if left.amount < 0 else total([], currency)


def _charged(lines: Sequence[Priced], account: _Account) -> Money:
    return charged(sheets(lines, account.how), account.how.currency)


def _without_late(lines: Sequence[Priced], facts: Facts) -> Iterator[Priced]:
    """Leave out the credit notes dated after the day on which the bill was paid."""
    return (line for line in lines if line.kind != CREDIT or line.day <= facts.paid)


def _sum_of(lines: Iterable[Priced], currency: str, kinds: Sequence[str]) -> Money | None:
    amounts = [line.amount for line in lines if line.kind in kinds]
    return total(amounts, currency) if amounts else None


def _currency(facts: Facts, lines: Sequence[Priced], settings: Settings) -> str:
    """Find the one currency of a bill, that of its first line, else the bench's; raises BillError for more than one."""
    named = [(line.each, line.what) for line in lines]
    named += [(parse_money(one.amount), f"the payment of {one.day}") for one in facts.payments if one.amount]
    named += [(parse_money(one.amount), f"the refund of {one.day}") for one in facts.refunds if one.amount]
    currency = named[0][0].currency if named else usual_currency(settings)
    for money, what in named:
        try:
            check_currency(money, currency)
        except MisuseError:
            raise BillError(
                f'{facts.id} cannot be billed in two currencies: "{what}" is in {money.currency}, '
                f'and "{named[0][1]}" in {currency}',
                "write every price and payment of the job in one currency",
            ) from None
    return currency
