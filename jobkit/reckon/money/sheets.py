"""The papers of money of a job, each with its own sums: its bill, and the credit notes after the invoice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from jobkit.jobs.facts import Day
from jobkit.jobs.money import Money, total
from jobkit.jobs.settings import Tax
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.priced import Priced
from jobkit.reckon.money.tax import TaxedLine, Totals, cash_rounding, totals


class Sheet(NamedTuple):
    """One paper: its lines, their sums, and what rounding to coins adds.

    `number` is that of a credit note, "" for one without a number yet, None for the bill itself. The sums of a credit
    note are negative, so that the sheets of a job add up.
    """

    number: str | None
    day: Day
    lines: tuple[Priced, ...]
    totals: Totals
    rounding: Money

    @property
    def to_pay(self) -> Money:
        """Return what the paper charges, with tax and rounded to coins."""
        return total([self.totals.gross, self.rounding], self.rounding.currency)


class Taxation(NamedTuple):
    """How the papers of a job are taxed and rounded: the bench's terms, and the usual rate of the job in percent."""

    currency: str
    tax: Tax
    usual: Decimal
    step: Money | None


def sheets(lines: Sequence[Priced], how: Taxation) -> tuple[Sheet, ...]:
    """Divide lines into their papers: the bill first, then each credit note; raises TaxError, MoneyError."""
    of_paper: dict[str | None, list[Priced]] = {None: []}
    for line in lines:
        of_paper.setdefault(line.note, []).append(line)
    return tuple(_sheet(number, tuple(some), how) for number, some in of_paper.items())


def charged(papers: Iterable[Sheet], currency: str) -> Money:
    """Add up what papers charge; credit notes take off."""
    return total((paper.to_pay for paper in papers), currency)


def _sheet(number: str | None, lines: tuple[Priced, ...], how: Taxation) -> Sheet:
    rows = (
        TaxedLine(one.what, one.quantity, one.each, how.usual if one.percent is None else one.percent)
        for one in lines
    )
    sums = totals(rows, how.currency, how.tax.prices, how.tax.rounded)
    day = max((line.day for line in lines), default="")
    return Sheet(number, day, lines, sums, cash_rounding(sums.gross, how.step))
