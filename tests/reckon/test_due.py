"""What falls due, on which day, and what does not."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import Duration, parse_duration
from jobkit.jobs.facts import Facts, Paid, UsedRow, WaitRow
from jobkit.jobs.meter import Meter
from jobkit.jobs.settings import Patience, Settings, Tax, WarrantyHabit
from jobkit.jobs.stock import Item, Lot
from jobkit.reckon.heat.floor_life import FLOOR_LIFE_HOURS
from jobkit.reckon.progress.due import Due, due
from tests.reckon.made import made, repaired

ON = date(2026, 11, 20)
MONTH = Duration(days=30)
SETTINGS = Settings(
    currency="EUR",
    warranty=(WarrantyHabit(parse_duration("P6M"), remind=(parse_duration("P14D"), parse_duration("P1D"))),),
    patience=Patience(arrival=21, quote=5, parts=10, collection=30, payment=14),
)


def listed(
    *facts: Facts, on: date = ON, within: Duration = MONTH, settings: Settings = SETTINGS, **bench: Any
) -> tuple[Due, ...]:
    return due(Bench(settings, facts=facts, **bench), on, within)


def job(**fields: Any) -> Facts:
    return made("K26-0001", **{"received": "2026-11-01", **fields})


def waits(reason: str, until: str = "") -> tuple[WaitRow, ...]:
    return (WaitRow(reason, "2026-11-05", until, "two stages"),)


PRICED = {"price_charged": "100.00 EUR"}

ANNOUNCED = {"received": "", "announced": "2026-11-02"}

# Each day is a date of the job plus the patience of the bench: arrival 21, quote 5, parts 10, collection 30, payment 14
# days.
FALLS_DUE = {
    "a board that was announced": (job(**ANNOUNCED), ["arrival  2026-11-23"]),
    "a board in customs": (job(**ANNOUNCED, waits=waits("shipping")), ["arrival  2026-11-23"]),
    "a board announced whose parts are awaited": (
        job(**ANNOUNCED, waits=waits("parts")),
        ["part parts 2026-11-15", "arrival  2026-11-23"],
    ),
    "a board announced, in customs and come": (
        job(announced="2026-10-10", waits=waits("shipping")),
        ["part shipping 2026-11-15"],
    ),
    "a quote without answer": (job(quoted="2026-11-10"), ["quote quoted 2026-11-15"]),
    "a client who owes an answer": (
        job(quoted="2026-11-03", waits=waits("client")),
        ["quote asked 2026-11-10"],
    ),
    "a client asked while at work": (
        job(agreed="2026-11-03", started="2026-11-04", waits=waits("client")),
        ["quote asked 2026-11-10"],
    ),
    "parts": (job(waits=waits("parts")), ["part parts 2026-11-15"]),
    "a donor": (job(waits=waits("donor")), ["part donor 2026-11-15"]),
    "shipping": (job(waits=waits("shipping")), ["part shipping 2026-11-15"]),
    "sent and unpaid": (
        job(finished="2026-11-08", sent="2026-11-09", **PRICED),
        ["payment sent 2026-11-23"],
    ),
    "collected and unpaid": (
        job(finished="2026-11-08", collected="2026-11-10", **PRICED),
        ["payment sent 2026-11-24"],
    ),
    "finished and unpaid": (
        job(finished="2026-11-08", **PRICED),
        ["payment finished 2026-11-22", "collection finished 2026-12-08"],
    ),
    "finished and paid": (
        job(finished="2026-11-08", paid="2026-11-08", **PRICED),
        ["collection finished 2026-12-08"],
    ),
    "kept, and the owner not asked": (
        job(finished="2026-11-08", fate="kept-for-parts"),
        ["collection finished 2026-12-08"],
    ),
    "declined": (job(quoted="2026-11-02", declined="2026-11-03"), ["collection declined 2026-12-03"]),
    "promised": (job(promised="2026-11-25"), ["promise booked in 2026-11-25"]),
    "promised and overdue": (
        job(promised="2026-11-15", started="2026-11-02"),
        ["promise on the bench 2026-11-15"],
    ),
}

DOES_NOT = {
    "a quote agreed to": job(quoted="2026-11-10", agreed="2026-11-11"),
    "a quote begun upon": job(quoted="2026-11-10", started="2026-11-11"),
    "parts that came": job(waits=waits("parts", until="2026-11-10")),
    "parts of a board that went home": job(sent="2026-11-12", finished="2026-11-11", waits=waits("parts")),
    "a board with nothing to pay": job(finished="2026-11-08", sent="2026-11-09"),
    "a board paid in parts": job(
        finished="2026-11-08", sent="2026-11-09", payments=(Paid("2026-11-09", "100.00 EUR", ""),), **PRICED
    ),
    "a quote agreed to by its price": job(quoted="2026-11-02", price_agreed=(("2026-11-03", "9.00 EUR"),)),
    "a donor kept": job(finished="2026-11-08", fate="kept-for-parts", owner_agreed=True),
    "a board recycled": job(finished="2026-11-08", fate="recycled", owner_agreed=True),
    "a promise kept": job(promised="2026-11-25", finished="2026-11-10", sent="2026-11-11"),
    "a board not announced yet": job(received="", announced="2026-11-21"),
    "a board announced that the client keeps": job(
        received="", announced="2026-11-02", declined="2026-11-05"
    ),
    "a job not received yet": job(received="2026-11-21", promised="2026-11-25"),
}


def told(items: tuple[Due, ...]) -> list[str]:
    return [f"{item.what} {item.how} {item.on}" for item in items]


@pytest.mark.parametrize(("one", "expected"), FALLS_DUE.values(), ids=FALLS_DUE)
def test_what_is_left_undone_falls_due_after_the_patience_of_the_bench(
    one: Facts, expected: list[str]
) -> None:
    assert told(listed(one)) == expected


@pytest.mark.parametrize("one", DOES_NOT.values(), ids=DOES_NOT)
def test_what_is_seen_to_does_not_fall_due(one: Facts) -> None:
    assert told(listed(one)) == []


def test_what_is_owed_is_with_tax_and_less_what_was_paid() -> None:
    taxed = SETTINGS._replace(tax=(Tax(rate=Decimal(24)),))
    one = job(
        finished="2026-11-08", sent="2026-11-09", payments=(Paid("2026-11-09", "24.00 EUR", ""),), **PRICED
    )
    assert [item.about for item in listed(one, settings=taxed)] == ["100.00 EUR"]


SENT = repaired("K26-0001", "2026-10-26")
"""Covered until 2027-04-26; the bench reminds 14 days and one day before."""


@pytest.mark.parametrize(
    ("on", "within", "shown"),
    [
        ("2027-03-26", "P30D", False),
        ("2027-03-27", "P30D", True),
        ("2027-04-11", "P1D", False),
        ("2027-04-12", "P1D", True),
        ("2027-04-26", "P0D", True),
        ("2027-04-27", "P30D", False),
    ],
)
def test_a_warranty_is_told_from_its_reminder_to_its_last_day(on: str, within: str, *, shown: bool) -> None:
    found = listed(SENT, on=date.fromisoformat(on), within=parse_duration(within))
    assert [str(item.on) for item in found] == (["2027-04-26"] if shown else [])
    assert all(list(map(str, item.remind)) == ["2027-04-12", "2027-04-25"] for item in found)


def test_a_warranty_carried_on_is_told_once_and_one_that_stands_alone_twice() -> None:
    back = repaired("K26-0002", "2026-12-01", comeback_of="K26-0001")
    on = date(2027, 4, 20)
    assert [(item.job, str(item.on)) for item in listed(SENT, back, on=on)] == [("K26-0002", "2027-04-26")]
    fault = back._replace(comeback_found="new-fault", warranty_duration="P5M")
    assert [(item.job, str(item.on)) for item in listed(SENT, fault, on=on)] == [
        ("K26-0001", "2027-04-26"),
        ("K26-0002", "2027-05-01"),
    ]
    on_the_bench = made("K26-0002", received="2026-12-01", comeback_of="K26-0001")
    assert [item.job for item in listed(SENT, on_the_bench, on=on)] == ["K26-0002"]


def test_a_reminder_before_the_warranty_begins_is_left_out() -> None:
    short = SENT._replace(warranty_duration="P3D")
    assert [item.remind for item in listed(short, on=date(2026, 10, 27))] == [(date(2026, 10, 28),)]


@pytest.mark.parametrize(
    ("calibrated", "every", "expected"),
    [
        ("2025-12-01", "P1Y", ["meter 1 year 2026-12-01"]),
        ("2024-02-29", "P1Y", ["meter 1 year 2025-02-28"]),
        ("2026-12-01", "P1Y", []),
        ("2026-11-01", "P9999Y", []),
        (None, "P1Y", []),
        ("2020-01-01", None, []),
    ],
)
def test_a_meter_falls_due_when_its_calibration_ends(
    calibrated: str | None, every: str | None, expected: list[str]
) -> None:
    meter = Meter(
        ("meter", 0),
        "dmm-1",
        date.fromisoformat(calibrated) if calibrated else None,
        parse_duration(every) if every else None,
    )
    assert told(listed(meters={"dmm-1": meter})) == expected


# J-STD-020, revisions D and E, floor life, from a copy: level 2 one year, 2a 4 weeks, 3 168 h, 4 72 h, 5 48 h, 5a 24 h.
DRY = {
    "1": None,
    "2": "2027-11-15",
    "2a": "2026-12-13",
    "3": "2026-11-22",
    "4": "2026-11-18",
    "5": "2026-11-17",
    "5a": "2026-11-16",
    "6": None,
}


@pytest.mark.parametrize(("level", "ends"), DRY.items())
def test_an_opened_bag_falls_due_when_its_floor_life_ends(level: str, ends: str | None) -> None:
    item = Item(("item", "gddr6"), "gddr6", moisture=level, opened=date(2026, 11, 15))
    found = listed(stock={"gddr6": item}, within=parse_duration("P1Y"))
    assert [(item.what, str(item.on)) for item in found] == ([("dry", ends)] if ends else [])


def test_a_bag_that_is_sealed_or_opened_later_does_not_fall_due() -> None:
    sealed = Item(("item", "a"), "a", moisture="3")
    later = Item(("item", "b"), "b", moisture="3", opened=date(2026, 11, 21))
    assert listed(stock={"a": sealed, "b": later}) == ()
    assert set(FLOOR_LIFE_HOURS) == {level for level, ends in DRY.items() if ends}


def test_a_bake_starts_the_floor_life_of_a_bag_again() -> None:
    opened = Item(
        ("item", "a"), "a", "memory", moisture="3", opened=date(2026, 11, 1), baked=date(2026, 11, 16)
    )
    (found,) = listed(stock={"a": opened})
    assert (str(found.on), found.how) == ("2026-11-23", "level 3, 168 h, baked 2026-11-16")
    assert (found.since, found.about, found.title) == (date(2026, 11, 1), "a", "memory")
    later = opened._replace(baked=date(2026, 11, 30))
    assert [str(one.on) for one in listed(stock={"a": later})] == ["2026-11-08"]


def test_a_lot_is_told_for_itself_and_one_used_up_is_not() -> None:
    lots = tuple(
        Lot(("item", "g", "lot", row), name, Decimal(counted), date(2026, 11, day) if day else None)
        for row, (name, counted, day) in enumerate([("old", 2, 1), ("new", 3, 10), ("sealed", 3, 0)])
    )
    item = Item(
        ("item", "g"), "g", counted=Decimal(8), counted_on=date(2026, 10, 31), moisture="3", lots=lots
    )
    took = UsedRow("2026-11-02", "g", "2", "stock", "U1", "", lot="old")
    assert [
        (one.about, str(one.on))
        for one in listed(job(used=(took,), finished="2026-11-03"), stock={"g": item})
    ][:1] == [("g, lot new", "2026-11-17")]
    assert [one.about for one in listed(stock={"g": item})] == ["g, lot old", "g, lot new"]


def test_the_soonest_comes_first_and_the_window_ends_where_it_is_said_to() -> None:
    jobs = [
        made(f"K26-{number:04d}", received="2026-11-01", promised=f"2026-12-{number:02d}")
        for number in (3, 1, 2)
    ]
    found = listed(*jobs, within=Duration(days=12))
    assert [item.job for item in found] == ["K26-0001", "K26-0002"]
    assert len(listed(*jobs, within=Duration(days=13))) == 3
    assert len(listed(*jobs, within=parse_duration("P9999Y"))) == 3


def test_nothing_falls_due_before_everything() -> None:
    assert listed(SENT, job(quoted="2026-11-10"), on=date.min) == ()


@pytest.mark.parametrize(
    ("asked", "told"), [("two stages", "two stages"), ("", "80.00 EUR")], ids=["in words", "the price alone"]
)
def test_a_client_who_owes_an_answer_was_asked_something_or_the_price(asked: str, told: str) -> None:
    wait = waits("client")[0]._replace(what=asked)
    (one,) = listed(job(quoted="2026-11-03", price_quoted="80.00 EUR", waits=(wait,)))
    assert one.about == told
