"""One figure, one truth: what `bill`, `week`, `earnings` and `export` say of the same jobs adds up."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.settings import Settings, Tax
from jobkit.jobs.week import week_of
from jobkit.pages.tables.export import rows_of
from jobkit.reckon.money.balance import earned
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.earnings import BY, earnings
from jobkit.reckon.money.priced import NOTHING, basis
from jobkit.reckon.money.terms import closed_day
from jobkit.reckon.progress.week import week_summary
from jobkit.units.errors import MisuseError
from tests.books import EXAMPLE
from tests.conftest import Run
from tests.reckon.test_priced import DATES, OUTCOMES, PRICES, loaded

ON = "2026-11-20"


def _sum(amounts: Iterable[str | None]) -> Decimal:
    return sum((Decimal(amount.split()[0]) for amount in amounts if amount), Decimal(0))


def test_the_figures_of_the_example_add_up(run: Run, tmp_path: Path) -> None:
    def data(*words: str) -> Any:
        return run(*words, "--book", EXAMPLE, "--on", ON, "--format", "json").data

    run("export", str(tmp_path / "out"), "--book", EXAMPLE, "--on", ON)
    rows = [
        json.loads(line)
        for path in tmp_path.glob("out/jobs/*/*.jsonl")
        for line in path.read_text("utf-8").splitlines()
    ]
    closed = [row for row in rows if (row["finished"] or row["declined"] or "9999") <= ON]
    bills = [data("bill", row["id"]) for row in closed]
    billed = _sum(made["earned"] for made in bills if made["basis"] != "breakdown")
    mondays = [date(2025, 12, 1) + timedelta(weeks=number) for number in range(52)]
    weeks = [data("week", str(week_of(day))) for day in mondays if str(day) <= ON]
    before = [row for row in closed if (row["finished"] or row["declined"]) < "2025-12-01"]
    assert len(closed) > 30
    assert before == []
    assert _sum(week["charged"] for week in weeks) == billed
    assert _sum(row["billed"] for row in data("earnings")["all"]) == billed
    assert float(billed) == pytest.approx(sum(row["billed"] or 0 for row in closed))
    unpaid = [bill for bill in bills if bill["owed"] and Decimal(bill["owed"].split()[0]) > 0]
    assert _sum(bill["owed"] for bill in unpaid) == _sum([weeks[-1]["unpaid"]])
    owed = [item["job"] for item in data("due", "--within", "1y")["items"] if item["what"] == "payment"]
    assert sorted(owed) == sorted(bill["job"] for bill in unpaid)
    assert sorted(debt["job"] for debt in weeks[-1]["debts"]) == sorted(owed)


BENCHES = [
    Bench(Settings(currency="EUR", tax=(Tax("VAT", Decimal(24), prices, rounded),)))
    for prices in ("net", "gross")
    for rounded in ("line", "bill")
]


@st.composite
def books(draw: st.DrawFn) -> tuple[Any, ...]:
    """Draw a few jobs of October 2026 with any prices, payments, refunds and dates."""
    made = st.tuples(PRICES, OUTCOMES, DATES)
    return tuple(
        loaded(*draw(made))._replace(id=f"K26-{number:04}")
        for number in range(1, draw(st.integers(1, 5)) + 1)
    )


@pytest.mark.parametrize(
    "bench", BENCHES, ids=["net by line", "net by bill", "gross by line", "gross by bill"]
)
@given(jobs=books())
def test_the_figures_of_any_book_add_up(bench: Bench, jobs: tuple[Any, ...]) -> None:
    facts = tuple(map(facts_of, jobs))
    closed = [one for one in facts if closed_day(one)]
    billed, refused = Decimal(0), []
    for one in closed:
        try:
            made = bill(one, bench)
        except MisuseError:
            refused.append(one.id)
        else:
            billed += made.earned.amount if basis(one) != NOTHING else 0
            assert earned(one, bench) == (made.earned if basis(one) != NOTHING else None)
    for by in BY:
        summed = earnings([(facts, bench)], by)
        assert [job for job, _ in summed.left_out] == refused
        # Over kinds of work each share is rounded, but the row for all is not a sum of them.
        assert sum(row.billed.amount for row in summed.all) == billed
    exported = [dict(rows_of(job, bench))["jobs"] for job in jobs if closed_day(facts_of(job))]
    assert float(billed) == pytest.approx(sum(row["billed"] or 0 for row in exported))


@pytest.mark.parametrize(
    "bench", BENCHES, ids=["net by line", "net by bill", "gross by line", "gross by bill"]
)
@given(jobs=books(), number=st.integers(0, 4))
def test_a_week_charges_what_the_bills_of_its_last_day_say(
    bench: Bench, jobs: tuple[Any, ...], number: int
) -> None:
    monday = date(2026, 9, 28) + timedelta(weeks=number)
    sunday = monday + timedelta(days=6)
    known = facts_as_of(map(facts_of, jobs), sunday)
    billed, refused = Decimal(0), []
    for one in known:
        if str(monday) <= closed_day(one) <= str(sunday):
            try:
                made = bill(one, bench)
                billed += made.earned.amount if basis(one) != NOTHING else 0
            except MisuseError:
                refused.append(one.id)
    week = week_summary(
        [bench._replace(facts=tuple(map(facts_of, jobs)))], week_of(monday), date(2026, 12, 31)
    )
    assert sum(money.amount for money in week.charged) == billed
    assert [job for job, _ in week.left_out] == refused
