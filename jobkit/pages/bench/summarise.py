"""The jobs as a table, one row each."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.pages.blocks import Answer, Block, Line, Table
from jobkit.pages.forms.data import Data
from jobkit.pages.words import counted, listed
from jobkit.reckon.progress.summarise import SummaryRow, cause

# Narrow enough for 80 columns; the CSV and JSON have the rest.
_HEADS = ("job", "days", "status", "design", "outcome and cause", "title")


def summarise_page(rows: Sequence[SummaryRow]) -> Answer:
    """Show the jobs picked."""
    table = Table(_HEADS, [_row(row) for row in rows], right=("days",))
    page: list[Block] = (
        [table, Line(f"{counted(len(rows), 'job')}.")] if rows else [Line("No job matches these filters.")]
    )
    return Answer(page, lambda: {"jobs": [_data(row) for row in rows]}, lambda: _full(rows))


def _row(row: SummaryRow) -> tuple[str, ...]:
    one = row.facts
    age = "" if row.age_days is None else str(row.age_days)
    return one.id, age, str(row.status), one.design, listed(one.outcome, cause(one)), one.title


def _full(rows: Sequence[SummaryRow]) -> Table:
    """Give every key of the JSON answer a column, for tables that go into other programs; money gets two."""
    return Table((*_KEYS, "charged", "currency"), [_full_row(row) for row in rows])


def _full_row(row: SummaryRow) -> tuple[str, ...]:
    data = _data(row)
    amount, _, currency = row.facts.price_charged.partition(" ")
    return *("" if data[key] is None else str(data[key]) for key in _KEYS), amount, currency


_KEYS = (
    "id",
    "title",
    "client",
    "design",
    "status",
    "waiting",
    "outcome",
    "received",
    "finished",
    "sent",
    "age_days",
    "cause",
    "comeback_of",
)


def _data(row: SummaryRow) -> Data:
    one = row.facts
    return {
        "id": one.id,
        "title": one.title or None,
        "client": one.client or None,
        "design": one.design or None,
        "status": row.status.word,
        "waiting": row.status.waiting or None,
        "outcome": one.outcome or None,
        "received": one.received or None,
        "finished": one.finished or None,
        "sent": one.sent or None,
        "age_days": row.age_days,
        "cause": cause(one) or None,
        "charged": one.price_charged or None,
        "comeback_of": one.comeback_of or None,
    }
