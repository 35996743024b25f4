"""What a client owes for a job: lines, tax, payments, and what is left to pay.

This is arithmetic on what the job file says. It is not tax advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Day, Facts, Paid
from jobkit.jobs.money import Money, check_currency, negated, parse_money, total
from jobkit.jobs.settings import Settings, Tax
from jobkit.reckon.money.priced import (
    NOTHING,
    REPAIR,
    SHIPPING,
    Priced,
    agreement,
    basis,
    most_allowed,
    percent,
    price_of_repair,
    priced,
    repair_lines,
    shipping_and_credits,
)
from jobkit.reckon.money.tax import TaxedLine, Totals, totals
from jobkit.reckon.money.time_and_materials import CUT, LABOUR, PART, by_the_minute
from jobkit.units.errors import MisuseError

BREAKDOWN = "breakdown"
"""The basis of a bill by the minute, labour at the bench's rate and parts. Nobody agreed to it, so it is not owed."""


class BillError(MisuseError):
    """A job that cannot be billed as it stands."""


class Bill(NamedTuple):
    """A bill as of the end of a day.

    `basis` tells what it stands on, `kinds` what each line of `totals` is for. `paid` adds up the payments, `settled`
    is the day that `dates.paid` names. `owed` is what is left to pay, negative where something is to be given back, and
    None where nothing has been priced. `agreed` is what the client agreed to last, `most` the most it may come to, and
    `asked` what the repair comes to in the same terms: before tax where prices are net, with it where they are gross.
    `late` are credit notes dated after the day on which the bill was paid. The last four are for a breakdown only.
    """

    job: str
    basis: str
    tax: Tax
    kinds: tuple[str, ...]
    totals: Totals
    payments: tuple[Paid, ...]
    paid: Money
    settled: Day
    owed: Money | None
    agreed: tuple[Day, Money] | None
    most: Money | None
    asked: Money | None
    late: tuple[Day, ...]
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
    def over(self) -> Money | None:
        """Tell by how much the repair is above the most it may come to; None where it is not."""
        if self.asked is None or self.most is None or self.asked.currency != self.most.currency:
            return None
        more = total([self.asked, negated(self.most)], self.currency)
        return more if more.amount > 0 else None


def bill(facts: Facts, bench: Bench, *, breakdown: bool = False) -> Bill:
    """Make out the bill of a job, from its facts as of a day.

    With `breakdown`, and where nothing has been priced, the repair is calculated by the minute instead: see
    `by_the_minute`. Tax is that of the line, else of the job, else of the item in stock.toml, else of the bench. Raises
    BillError where currencies are mixed or none is known, and where labour has no rate.
    """
    stands_on = basis(facts)
    reckoned = by_the_minute(facts, bench) if breakdown or stands_on == NOTHING else None
    lines = (*(reckoned.lines if reckoned else repair_lines(facts)), *shipping_and_credits(facts))
    currency, sums, paid = _made_out(facts, lines, bench.settings)
    made = Bill(
        facts.id,
        BREAKDOWN if reckoned else stands_on,
        bench.settings.tax,
        tuple(line.kind for line in lines),
        sums,
        tuple(facts.payments),
        paid,
        facts.paid,
        None if reckoned else _owed(facts, sums.gross, paid),
        agreement(facts),
        most_allowed(facts),
        _sum_of(lines, currency, (REPAIR, LABOUR, PART, CUT)),
        tuple(note.day for note in facts.credits if facts.paid and note.day > facts.paid),
        facts.price_tax_note,
    )
    if reckoned is None:
        return made
    return made._replace(
        minutes=reckoned.minutes,
        unpriced=reckoned.unpriced,
        cut=reckoned.cut,
        instead_of=None if stands_on == NOTHING else price_of_repair(facts),
    )


def still_owed(facts: Facts, bench: Bench) -> Money | None:
    """Tell what is left to pay for a job, with tax and less what was paid; None where that is nothing or less.

    A job that cannot be billed as it stands is owed for nothing here; `bill` and lint say why.
    """
    if facts.paid or basis(facts) == NOTHING:
        return None
    try:
        _, sums, paid = _made_out(facts, priced(facts), bench.settings)
    except MisuseError:
        return None
    owed = _owed(facts, sums.gross, paid)
    return owed if owed.amount > 0 else None


def earned(facts: Facts, bench: Bench) -> Money | None:
    """Tell what a job's bill comes to without tax and shipping, less credits; None where nothing is priced.

    Raises BillError for a job that cannot be billed.
    """
    if basis(facts) == NOTHING:
        return None
    if bench.settings.tax.prices == "net":
        # Prices hold no tax, so none has to be taken out of them: a sum over all jobs is quicker for it.
        lines = priced(facts)
        currency = _currency(facts, lines, bench.settings)
        return total((line.amount for line in lines if line.kind != SHIPPING), currency)
    made = bill(facts, bench)
    kept = [row.net for kind, row in zip(made.kinds, made.totals.lines, strict=True) if kind != SHIPPING]
    return total(kept, made.currency)


def usual_currency(settings: Settings) -> str:
    """Name the bench's currency; raises BillError where bench.toml names none."""
    currency = settings.currency or (settings.rate.currency if settings.rate else None)
    if currency is None:
        raise BillError(
            "there is no price yet, and bench.toml names no currency", "write currency under [bench]"
        )
    return currency


def _made_out(facts: Facts, lines: Sequence[Priced], settings: Settings) -> tuple[str, Totals, Money]:
    """Give the currency of a bill, what its lines come to, and what was paid; raises BillError."""
    currency = _currency(facts, lines, settings)
    paid = total((parse_money(one.amount) for one in facts.payments if one.amount), currency)
    return currency, _totals(lines, facts, settings.tax, currency), paid


def _totals(lines: Iterable[Priced], facts: Facts, tax: Tax, currency: str) -> Totals:
    own = percent(facts.price_tax)
    usual = tax.rate if own is None else own
    rows = (
        TaxedLine(one.what, one.quantity, one.each, usual if one.percent is None else one.percent)
        for one in lines
    )
    return totals(rows, currency, tax.prices, tax.rounded)


def _owed(facts: Facts, gross: Money, paid: Money) -> Money:
    """Take off what was paid; the day of `dates.paid` says that all of it was."""
    return total([] if facts.paid else [gross, negated(paid)], gross.currency)


def _sum_of(lines: Iterable[Priced], currency: str, kinds: Sequence[str]) -> Money | None:
    amounts = [line.amount for line in lines if line.kind in kinds]
    return total(amounts, currency) if amounts else None


def _currency(facts: Facts, lines: Sequence[Priced], settings: Settings) -> str:
    """Find the one currency of a bill, that of its first line, else the bench's; raises BillError for more than one."""
    named = [(line.each, line.what) for line in lines]
    named += [(parse_money(one.amount), f"the payment of {one.day}") for one in facts.payments if one.amount]
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
