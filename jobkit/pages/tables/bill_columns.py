"""The bill of a job, line by line, as rows: what the bench's terms make of its prices."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Job
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.pages.tables.columns import Column
from jobkit.reckon.money.bill import Bill, bill
from jobkit.reckon.money.priced import NOTHING, basis
from jobkit.reckon.money.tax import Billed
from jobkit.units.errors import MisuseError


class BillRow(NamedTuple):
    """A line of a bill, or of the credit note whose number `paper` is ("" where it has none yet; None for the bill)."""

    paper: str | None
    kind: str
    billed: Billed

    @property
    def currency(self) -> str:
        """Name its currency."""
        return self.billed.net.currency


def bill_of(job: Job, bench: Bench) -> Bill | None:
    """Make out the bill of a job; None where nothing is priced, or where it cannot be billed (lint says why)."""
    facts = facts_of(job)
    if basis(facts) == NOTHING:
        return None
    try:
        return bill(facts, bench)
    except MisuseError:
        return None


def bill_rows(made: Bill | None) -> Iterator[BillRow]:
    """Yield the lines of a bill, then those of its credit notes."""
    if made is None:
        return
    for kind, billed in zip(made.kinds, made.totals.lines, strict=True):
        yield BillRow(None, kind, billed)
    for note in made.notes:
        for line, billed in zip(note.lines, note.totals.lines, strict=True):
            yield BillRow(note.number or "", line.kind, billed)


def _amount(money: Money) -> float:
    return float(money.amount)


BILL_LINES = (
    Column(
        "paper", "text", "The number of the credit note; null for the bill itself.", lambda row: row.paper
    ),
    Column("kind", "always text", "What the line is for.", lambda row: row.kind),
    Column("what", "always text", "The line in words.", lambda row: row.billed.line.what),
    Column("quantity", "always number", "How many.", lambda row: float(row.billed.line.quantity)),
    Column("each", "always number", "The price of one.", lambda row: _amount(row.billed.line.each)),
    Column("tax_percent", "always number", "The rate of tax.", lambda row: float(row.billed.line.percent)),
    Column("net", "always number", "The line without tax.", lambda row: _amount(row.billed.net)),
    Column("tax", "always number", "Its tax.", lambda row: _amount(row.billed.tax)),
    Column("gross", "always number", "The line with tax.", lambda row: _amount(row.billed.gross)),
    Column("currency", "always text", "The currency of the line, ISO 4217.", lambda row: row.currency),
)
"""The columns of a line."""


def _of_bill(name: str, about: str, of: Callable[[Bill], Money | None]) -> Column:
    def amount(made: Bill | None) -> float | None:
        money = of(made) if made else None
        return float(money.amount) if money else None

    return Column(name, "number", about, amount)


BILLED = (
    _of_bill(
        "billed",
        "What the bill charges without tax and shipping, less discounts and credits; null where there is no bill.",
        lambda made: made.earned,
    ),
    _of_bill("bill_net", "The bill without tax.", lambda made: made.totals.net),
    _of_bill("bill_tax", "Its tax.", lambda made: made.totals.tax),
    _of_bill("bill_gross", "The bill with tax.", lambda made: made.totals.gross),
    _of_bill(
        "bill_owed", "The balance due; negative where money is to be given back.", lambda made: made.owed
    ),
    Column("bill_currency", "text", "Its currency, ISO 4217.", lambda made: made.currency if made else None),
)
"""What the bench's terms make of a job's prices, beside what the job says."""
