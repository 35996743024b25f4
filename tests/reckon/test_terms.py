"""The terms in force on the day that counts, and that no later term changes an earlier answer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import parse_duration
from jobkit.jobs.facts import Facts, UsedRow, WorkRow
from jobkit.jobs.in_force import AmountSince, in_force
from jobkit.jobs.money import parse_money
from jobkit.jobs.settings import Settings, Tax, WarrantyHabit
from jobkit.jobs.stock import Item
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.cost import parts_cost
from jobkit.reckon.money.terms import agreed_day, supply_day, tax_of
from jobkit.reckon.warranty.cover import cover
from jobkit.reckon.warranty.terms_change import altered_jobs
from tests.reckon.made import made

GERMAN_VAT = (
    Tax("USt", Decimal(19)),
    Tax("USt", Decimal(16), since="2020-07-01"),
    Tax("USt", Decimal(19), since="2021-01-01"),
)
"""The German rate of 2020: 16 % on supplies from 1 July to 31 December (§ 28 Abs. 1 UStG; from memory)."""

RATES = [
    # finished, sent, which of the two counts, percent
    ("2020-06-30", "2020-07-02", "finished", 19),
    ("2020-06-30", "2020-07-02", "sent", 16),
    ("2020-07-01", "2020-07-02", "finished", 16),
    ("2020-12-31", "2021-01-04", "finished", 16),
    ("2020-12-31", "2021-01-04", "sent", 19),
    ("2021-01-01", "2021-01-04", "finished", 19),
]


@pytest.mark.parametrize(("finished", "sent", "supply", "percent"), RATES)
def test_the_rate_is_that_of_the_day_of_supply(finished: str, sent: str, supply: str, percent: int) -> None:
    job = made("K26-0001", received="2020-06-01", finished=finished, sent=sent, price_charged="100.00 EUR")
    made_out = bill(job, Bench(Settings(supply=supply, tax=GERMAN_VAT)))
    assert str(made_out.totals.gross) == f"{100 + percent}.00 EUR"


SUPPLY: list[tuple[dict[str, str], str, str]] = [
    ({"finished": "2026-01-02", "sent": "2026-01-05"}, "finished", "2026-01-02"),
    ({"declined": "2026-01-02", "sent": "2026-01-05"}, "finished", "2026-01-02"),
    ({"collected": "2026-01-05"}, "finished", "2026-01-05"),
    ({"finished": "2026-01-02", "collected": "2026-01-05"}, "sent", "2026-01-05"),
    ({"finished": "2026-01-02"}, "sent", "2026-03-01"),
    ({}, "finished", "2026-03-01"),
]


@pytest.mark.parametrize(("dates", "supply", "day"), SUPPLY)
def test_the_day_of_supply(dates: dict[str, str], supply: str, day: str) -> None:
    assert supply_day(made("K26-0001", **dates), Settings(supply=supply), "2026-03-01") == day


AGREED: list[tuple[dict[str, str], str]] = [
    ({"agreed": "2026-01-02", "started": "2026-01-03"}, "2026-01-02"),
    ({"started": "2026-01-03", "finished": "2026-01-04"}, "2026-01-03"),
    ({"finished": "2026-01-04", "sent": "2026-01-05"}, "2026-01-04"),
    ({"quoted": "2026-01-01"}, "2026-03-01"),
]


@pytest.mark.parametrize(("dates", "day"), AGREED)
def test_the_day_of_agreement(dates: dict[str, str], day: str) -> None:
    assert agreed_day(made("K26-0001", **dates), "2026-03-01") == day


def test_a_warranty_is_the_one_that_was_agreed() -> None:
    habits = (WarrantyHabit(parse_duration("P6M")), WarrantyHabit(parse_duration("P1Y"), since="2026-07-01"))
    job = made(
        "K26-0001", received="2026-06-01", agreed="2026-06-30", finished="2026-07-05", sent="2026-07-06"
    )
    later = job._replace(agreed="2026-07-01")
    ends = [
        cover(one.id, {one.id: one}, habits, date(2026, 8, 1)).last_day
        for one in (job._replace(outcome="repaired"), later._replace(outcome="repaired"))
    ]
    assert ends == [date(2027, 1, 6), date(2027, 7, 6)]


def test_work_and_parts_go_by_their_own_days() -> None:
    settings = Settings(
        currency="EUR",
        rate=(AmountSince("", parse_money("45.00 EUR")), AmountSince("2026-07-01", parse_money("48.00 EUR"))),
    )
    stage = Item(
        ("item", "stage"),
        "stage",
        cost=(AmountSince("", parse_money("4.20 EUR")), AmountSince("2026-07-01", parse_money("4.60 EUR"))),
    )
    job = made(
        "K26-0001",
        received="2026-06-01",
        work=(WorkRow("2026-06-30", 60, "fit", ""), WorkRow("2026-07-01", 60, "clean", "")),
        used=(
            UsedRow("2026-06-30", "stage", "1", "", "", ""),
            UsedRow("2026-07-01", "stage", "1", "", "", ""),
        ),
    )
    bench = Bench(settings, stock={"stage": stage})
    # 45 + 48 EUR of labour and 4.20 + 4.60 EUR of parts
    assert str(bill(job, bench).totals.net) == "101.80 EUR"
    assert [str(row.line.each) for row in bill(job, bench).totals.lines[:2]] == ["45.00 EUR", "48.00 EUR"]
    assert float(parts_cost(job, bench).spent["EUR"]) == pytest.approx(8.8)


def test_before_the_first_day_there_is_no_such_term() -> None:
    job = made("K26-0001", received="2026-06-01", finished="2026-06-30")
    assert tax_of(job, Settings(tax=(Tax("VAT", Decimal(24), since="2026-07-01"),))).rate == 0


DAYS = st.dates(date(2026, 1, 1), date(2026, 12, 31)).map(str)
LATER = st.dates(date(2027, 1, 1), date(2027, 12, 31)).map(str)
AMOUNTS = st.integers(1, 9999).map(lambda cents: parse_money(f"{cents / 100:.2f} EUR"))


def histories(entry: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    """Draw histories of entries from January to December 2026, at times one from the start."""
    days = st.lists(st.just("") | DAYS, min_size=1, max_size=4, unique=True).map(sorted)
    return days.flatmap(lambda known: st.tuples(*(_from(day, entry) for day in known)))


def _from(day: str, entry: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return entry.map(lambda one: one._replace(since=day))


TAXES = st.builds(
    Tax,
    rate=st.integers(0, 30).map(Decimal),
    prices=st.sampled_from(["net", "gross"]),
    rounded=st.sampled_from(["line", "bill"]),
)
WARRANTIES = st.builds(
    WarrantyHabit,
    duration=st.sampled_from(["P1M", "P6M", "P1Y"]).map(parse_duration),
    counted_from=st.sampled_from(["sent", "finished"]),
    comeback=st.sampled_from(["continues", "restarts"]),
)
COSTS = st.builds(AmountSince, amount=AMOUNTS)


@st.composite
def jobs(draw: st.DrawFn, number: int) -> Facts:
    """Draw a job of 2026, over by the end of the year."""
    days = sorted(draw(st.lists(DAYS, min_size=5, max_size=5)))
    priced = draw(st.sampled_from(["price_charged", "price_quoted", ""]))
    return made(
        f"K26-{number:04}",
        outcome="repaired",
        received=days[0],
        started=days[1],
        agreed=draw(st.sampled_from(["", days[1]])),
        finished=days[3],
        sent=days[4],
        last_day=days[4],
        last_done=days[4],
        comeback_of=f"K26-{number - 1:04}" if number > 1 and draw(st.booleans()) else "",
        work=(WorkRow(draw(st.sampled_from(["", days[2]])), draw(st.integers(1, 300)), "fit", ""),),
        used=(UsedRow(draw(st.sampled_from(["", days[2]])), "stage", "2", "", "", ""),),
        **({priced: str(draw(AMOUNTS))} if priced else {}),
    )


def bench_of(taxes: Any, warranties: Any, rates: Any, costs: Any, supply: str) -> Bench:
    rates = (AmountSince("", parse_money("40.00 EUR")), *(one for one in rates if one.since))
    settings = Settings(currency="EUR", supply=supply, tax=taxes, warranty=warranties, rate=rates)
    return Bench(settings, stock={"stage": Item(("item", "stage"), "stage", cost=costs)})


@given(
    facts=st.tuples(*(jobs(number) for number in (1, 2, 3))),
    taxes=histories(TAXES),
    warranties=histories(WARRANTIES),
    rates=histories(COSTS),
    costs=histories(COSTS),
    supply=st.sampled_from(["finished", "sent"]),
    later=st.tuples(TAXES, WARRANTIES, COSTS, COSTS, LATER),
)
def test_a_later_entry_in_any_history_changes_no_earlier_answer(
    *,
    facts: tuple[Facts, ...],
    taxes: tuple[Tax, ...],
    warranties: tuple[WarrantyHabit, ...],
    rates: tuple[AmountSince, ...],
    costs: tuple[AmountSince, ...],
    supply: str,
    later: tuple[Any, ...],
) -> None:
    *entries, day = later
    tax, warranty, rate, cost = (entry._replace(since=day) for entry in entries)
    before = bench_of(taxes, warranties, rates, costs, supply)
    after = bench_of((*taxes, tax), (*warranties, warranty), (*rates, rate), (*costs, cost), supply)
    known = {one.id: one for one in facts}
    for one in facts:
        assert bill(one, before) == bill(one, after)
        assert parts_cost(one, before) == parts_cost(one, after)
        for on in (date.fromisoformat(one.sent), date.fromisoformat(day) + timedelta(days=400)):
            assert cover(one.id, known, warranties, on) == cover(one.id, known, (*warranties, warranty), on)
    assert altered_jobs(facts, before, after, date(2026, 12, 31)) == ((), (), ())


@given(taxes=histories(TAXES), day=DAYS)
def test_the_entry_in_force_recomputed_another_way(taxes: Sequence[Tax], day: str) -> None:
    begun = [one for one in taxes if one.since <= day]
    assert in_force(taxes, day) == (max(begun, key=lambda one: one.since) if begun else None)


JOB = made(
    "K26-0001", outcome="repaired", received="2026-06-01", started="2026-06-02", finished="2026-06-03",
    sent="2026-06-04", price_charged="100.00 EUR",
)  # fmt: skip
OLD = Bench(
    Settings(currency="EUR", tax=(Tax("VAT", Decimal(24)),), warranty=(WarrantyHabit(parse_duration("P6M")),))
)
CHANGES = {
    "VAT raised": ({"tax": (Tax("VAT", Decimal(25)),)}, (("K26-0001",), (), ())),
    "VAT renamed": ({"tax": (Tax("MwSt", Decimal(24)),)}, (("K26-0001",), (), ())),
    "warranty cut": ({"warranty": (WarrantyHabit(parse_duration("P3M")),)}, ((), ("K26-0001",), ())),
    "another reason to void it": (
        {"warranty": (WarrantyHabit(parse_duration("P6M"), void_if=("liquid",)),)}, ((), ("K26-0001",), ()),
    ),
    "other reminders": (
        {"warranty": (WarrantyHabit(parse_duration("P6M"), remind=(parse_duration("P1D"),)),)}, ((), (), ()),
    ),
    "rate raised, priced otherwise": ({"rate": (AmountSince("", parse_money("99.00 EUR")),)}, ((), (), ())),
}  # fmt: skip


@pytest.mark.parametrize(("change", "wanted"), CHANGES.values(), ids=CHANGES)
def test_a_change_that_alters_a_job_already_sent(change: dict[str, Any], wanted: tuple[Any, ...]) -> None:
    new = OLD._replace(settings=OLD.settings._replace(**change))
    assert altered_jobs([JOB], OLD, new, date(2026, 11, 20)) == wanted
    still_here = JOB._replace(sent="")
    assert altered_jobs([still_here], OLD, new, date(2026, 11, 20)) == ((), (), ())
