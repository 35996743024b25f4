"""How a job is billed: its currency, its tax, what was paid, and what is left of it all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.in_force import latest
from jobkit.jobs.money import Money, check_currency, negated, parse_money, total
from jobkit.jobs.settings import Settings
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.priced import CREDIT, SHIPPING, Priced, percent
from jobkit.reckon.money.refunds import paid_sums
from jobkit.reckon.money.sheets import Sheet, Taxation, charged, sheets
from jobkit.reckon.money.terms import tax_of
from jobkit.units.errors import MisuseError


class BillError(MisuseError):
    """A job that cannot be billed as it is."""


class Account(NamedTuple):
    """How a bill is taxed and in which currency, and what was paid and paid back."""

    how: Taxation
    paid: Money
    refunded: Money


def usual_currency(settings: Settings) -> str:
    """Name the bench's currency; raises BillError where bench.toml names none."""
    rate = latest(settings.rate)
    currency = settings.currency or (rate.currency if rate else None)
    if currency is None:
        raise BillError(
            "there is no price yet, and bench.toml names no currency", "write currency under [bench]"
        )
    return currency


def check_readable(facts: Facts, tables: Iterable[str]) -> None:
    """Raise BillError where one of these tables could not be read: the bill would be wrong, and look right."""
    broken = next((table for table in tables if table in facts.unreadable), None)
    if broken:
        message = f'{facts.id} cannot be billed while its "{broken}" has errors'
        raise BillError(message, f"see `jobkit lint {facts.path}`")


def account_of(facts: Facts, lines: Sequence[Priced], settings: Settings, on: Day = "") -> Account:
    """Find the currency and the tax of a bill, and add up what was paid and paid back; raises BillError."""
    check_readable(facts, ("price", "invoice"))
    currency = _currency(facts, lines, settings)
    tax, own = tax_of(facts, settings, on), percent(facts.price_tax)
    how = Taxation(currency, tax, tax.rate if own is None else own, settings.cash_rounding)
    return Account(how, *paid_sums(facts, currency))


def owed_of(facts: Facts, lines: Sequence[Priced], account: Account) -> Money:
    """Return what is left to pay: what is charged, less what was paid, with what was paid back.

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


def _charged(lines: Sequence[Priced], account: Account) -> Money:
    return charged(sheets(lines, account.how), account.how.currency)


def _without_late(lines: Sequence[Priced], facts: Facts) -> Iterator[Priced]:
    """Leave out the credit notes dated after the day on which the bill was paid."""
    return (line for line in lines if line.kind != CREDIT or line.day <= facts.paid)


def earned_on(papers: Sequence[Sheet]) -> Money:
    """Return what papers come to without tax and shipping."""
    kept = (
        row.net
        for paper in papers
        for line, row in zip(paper.lines, paper.totals.lines, strict=True)
        if line.kind != SHIPPING
    )
    return total(kept, papers[0].rounding.currency)


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
