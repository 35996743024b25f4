"""The schemas of exported tables follow from the columns; `pytest --renew-golden` writes them."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from jobkit.book.read.job import read_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.finding import Finding
from jobkit.jobs.money import Money
from jobkit.jobs.stock import Item, Lot
from jobkit.pages.tables.columns import BOOK
from jobkit.pages.tables.export import NAMES, Row, every_column, finding_row, rows_of, schema_of
from jobkit.pages.tables.export import _row as row_of
from jobkit.reckon.stock.on_hand import LotOnHand, OnHand
from jobkit.reckon.warranty.cover import COVERED, Cover
from tests.schema.filled import exemplary

JOB, TROUBLES = read_job("jobs/2026/K26-0047.toml", exemplary("job"))
TEN, COST = Decimal(10), Money(Decimal("17.80"), "EUR")
LOT = LotOnHand(Lot((), "g6-0826", TEN, date(2026, 10, 9)), Decimal(0), Decimal(4), Decimal(6))
ITEM = OnHand(
    Item((), "gddr6-16gb", counted=TEN),
    Decimal(0),
    Decimal(4),
    Decimal(6),
    short=False,
    cost=COST,
    worth=(),
    lots=(LOT,),
)
COVER = Cover(
    "K26-0053", date(2026, 11, 20), COVERED, ("K26-0014", "K26-0053"), date(2026, 11, 1), date(2027, 5, 1),
    source="K26-0053", link="restarts",
)  # fmt: skip
FOUND = Finding(
    "date-order",
    "error",
    "jobs/2026/K26-0047.toml",
    ("dates", "sent"),
    "sent",
    "K26-0047",
    "sent is early",
    "",
    12,
    3,
)
ACROSS: dict[str, Row] = {
    "warranties": row_of("warranties", COVER),
    "stock": {"as_of": "2026-11-20", **row_of("stock", ITEM)},
    "lots": {"as_of": "2026-11-20", **row_of("lots", (ITEM, LOT))},
    "findings": finding_row(FOUND),
}


@pytest.mark.parametrize("table", NAMES)
def test_the_schema_in_the_repository_is_that_of_the_columns(
    table: str, golden: Callable[[str, str], None]
) -> None:
    assert TROUBLES == ()
    of_job = dict(rows_of(JOB, Bench()))
    example = {BOOK.name: "book", **(of_job.get(table) or ACROSS[table])}
    assert list(example) == [column.name for column in every_column(table)]
    text = json.dumps({**schema_of(table), "examples": [example]}, ensure_ascii=False, indent=2)
    golden(f"../../schema/export/{table}.schema.json", f"{text}\n")
