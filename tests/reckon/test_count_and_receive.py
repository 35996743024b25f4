"""Counts and deliveries as they are typed: what is written down, and what is refused with which words."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest

from jobkit.book.read.bench import read_stock
from jobkit.book.read.load import document
from jobkit.jobs.bench import Bench
from jobkit.jobs.stock import Receipt
from jobkit.reckon.entry.cost_of_the_day import cost_of_the_day
from jobkit.reckon.stock.count import count_typed
from jobkit.reckon.stock.on_hand import OnHand, Stock, stock
from jobkit.reckon.stock.receive import Typed, receipt_typed
from jobkit.reckon.stock.several import stock_in_books
from jobkit.units.errors import MisuseError

SHELF = """
format = 1
[item.fuse]
what = "fuse"
counted = 9
counted_on = 2026-09-30
cost = "0.40 EUR"
[item.memory]
what = "memory"
counted = 5
counted_on = 2026-09-30
cost = [{ amount = "10.00 EUR" }, { since = 2026-10-05, amount = "12.00 EUR" }]
[[item.memory.lot]]
name = "a"
counted = 3
cost = "8.00 EUR"
[[item.memory.lot]]
name = "b"
counted = 2
[[item.memory.lot]]
name = "gone"
counted = 0
[item.coil]
what = "never counted, of no known cost"
"""
TODAY = date(2026, 10, 5)


def bench() -> Bench:
    doc, _ = document(SHELF.encode())
    assert doc is not None
    items, troubles = read_stock(doc)
    assert troubles == ()
    return Bench(stock=items)


def there(name: str) -> OnHand:
    return next(one for one in stock((), bench(), TODAY).items if one.item.name == name)


COUNTS = {
    "one number": ("fuse", ["12"], date(2026, 10, 5), "12 ()"),
    "half a reel": ("fuse", ["0.5"], date(2026, 10, 5), "0.5 ()"),
    "none": ("fuse", ["0"], date(2026, 10, 5), "0 ()"),
    "again on the day of the last count": ("fuse", ["12"], date(2026, 9, 30), "12 ()"),
    "of an item that was never counted": ("coil", ["7"], date(2026, 1, 1), "7 ()"),
    "each lot that is not used up": ("memory", ["a=1", "b=2"], TODAY, "3 (a 1, b 2, gone 0)"),
    "one found after all": ("memory", ["a=1", "b=2", "gone=1"], TODAY, "4 (a 1, b 2, gone 1)"),
    "one number, as the book has it": ("memory", ["5"], TODAY, "5 (a 3, b 2, gone 0)"),
}
UNCOUNTED = {
    "tomorrow": ("fuse", ["12"], date(2026, 10, 6), "2026-10-06 is in the future"),
    "before the last count": (
        "fuse",
        ["12"],
        date(2026, 9, 29),
        "fuse was counted on 2026-09-30, which is after 2026-09-29",
    ),
    "two numbers": ("fuse", ["12", "13"], TODAY, "fuse was given 2 counts"),
    "below zero": ("fuse", ["-1"], TODAY, '"-1" is below zero'),
    "a comma": ("fuse", ["1,5"], TODAY, '"1,5" has a decimal comma'),
    "words": ("fuse", ["many"], TODAY, '"many" is not a count'),
    "a lot of an item without lots": ("fuse", ["a=1"], TODAY, "fuse is not kept in lots"),
    "one number, unlike the book": (
        "memory",
        ["4"],
        TODAY,
        "memory is kept in lots, and 4 is not what the book has in them",
    ),
    "a lot left out": ("memory", ["a=1"], TODAY, "memory is kept in the lots a, b, gone"),
    "a lot twice": ("memory", ["a=1", "b=1", "b=2"], TODAY, "memory is kept in the lots a, b, gone"),
    "a lot that is not there": (
        "memory",
        ["a=1", "b=1", "c=2"],
        TODAY,
        "memory is kept in the lots a, b, gone",
    ),
}


@pytest.mark.parametrize(("name", "words", "on", "expected"), COUNTS.values(), ids=COUNTS)
def test_a_count(name: str, words: list[str], on: date, expected: str) -> None:
    made = count_typed(there(name), words, on, TODAY)
    lots = ", ".join(f"{lot} {left}" for lot, left in made.lots)
    assert (made.item, made.on, f"{made.counted} ({lots})") == (name, on, expected)


@pytest.mark.parametrize(("name", "words", "on", "why"), UNCOUNTED.values(), ids=UNCOUNTED)
def test_a_count_that_cannot_be(name: str, words: list[str], on: date, why: str) -> None:
    with pytest.raises(MisuseError) as refused:
        count_typed(there(name), words, on, TODAY)
    assert refused.value.message == why


def typed(number: str, cost: str | None = None, lot: str | None = None) -> Typed:
    return Typed(number, cost, lot, "a note")


DELIVERIES = {
    "the day after the count": ("fuse", typed("20"), 1, "20 None None"),
    "with a cost of this delivery": ("fuse", typed("20", "0.38 EUR"), 1, "20 0.38 EUR None"),
    "a cost without its currency": ("fuse", typed("20", "0.38"), 1, "20 0.38 EUR None"),
    "into a lot": ("memory", typed("2", None, "c"), 1, "2 None c"),
    "a cost in the currency of the bench": ("coil", typed("2", "100"), 1, "2 100 ISK None"),
}
UNDELIVERED = {
    "none": ("fuse", typed("0"), 1, "none came"),
    "no lot": ("memory", typed("2"), 1, "memory is kept in the lots a, b, gone"),
    "on the day of the count": (
        "fuse",
        typed("20"),
        0,
        "fuse was counted on 2026-09-30, and what came until that day is in the count",
    ),
    "in another currency": ("fuse", typed("20", "0.38 USD"), 1, "0.38 USD is in USD, and fuse costs EUR"),
}


def delivered(name: str, words: Typed, days: int) -> Receipt:
    at = datetime(2026, 9, 30, 23) + timedelta(days=days)
    return receipt_typed(there(name), words, at, "ida", "ISK" if name == "coil" else "EUR")


@pytest.mark.parametrize(("name", "words", "days", "expected"), DELIVERIES.values(), ids=DELIVERIES)
def test_a_delivery(name: str, words: Typed, days: int, expected: str) -> None:
    made = delivered(name, words, days)
    assert (made.day, made.by, made.note) == ("2026-10-01", "ida", "a note")
    assert f"{made.qty} {made.cost} {made.lot}" == expected


@pytest.mark.parametrize(("name", "words", "days", "why"), UNDELIVERED.values(), ids=UNDELIVERED)
def test_a_delivery_that_cannot_be(name: str, words: Typed, days: int, why: str) -> None:
    with pytest.raises(MisuseError) as refused:
        delivered(name, words, days)
    assert refused.value.message == why


@pytest.mark.parametrize(
    ("name", "fix"), [("fuse", "`jobkit stock count fuse 29`"), ("memory", "count it again")]
)
def test_how_a_late_delivery_is_counted(name: str, fix: str) -> None:
    with pytest.raises(MisuseError) as refused:
        receipt_typed(there(name), typed("20", None, "a"), datetime(2026, 9, 30), "ida", "EUR")
    assert refused.value.mend == f"if it was not counted along: {fix}"


AT = datetime(2026, 10, 5)
COSTS = {
    "on the day of a new cost": ({"at": AT, "item": "memory"}, {"cost": "12.00 EUR"}),
    "the day before": ({"at": datetime(2026, 10, 4, 23), "item": "memory"}, {"cost": "10.00 EUR"}),
    "of a lot with a cost": ({"at": AT, "item": "memory", "lot": "a", "from": "stock"}, {"cost": "8.00 EUR"}),
    "of a lot without one": ({"at": AT, "item": "memory", "lot": "b"}, {"cost": "12.00 EUR"}),
    "bought": ({"at": AT, "item": "memory", "from": "bought"}, {}),
    "that says its cost": ({"at": AT, "item": "memory", "cost": "1.00 EUR"}, {}),
    "at no known time": ({"item": "memory"}, {}),
    "of no known cost": ({"at": AT, "item": "coil"}, {}),
    "unknown": ({"at": AT, "item": "capacitor"}, {}),
    "of no item": ({"at": AT}, {}),
}


@pytest.mark.parametrize(("entry", "expected"), COSTS.values(), ids=COSTS)
def test_what_a_part_cost(entry: dict[str, object], expected: dict[str, str]) -> None:
    assert cost_of_the_day(entry, bench()) == expected


def test_the_stock_of_two_books_has_the_name_of_its_book() -> None:
    one = stock((), bench(), TODAY)
    assert stock_in_books(["here"], [one]) is one
    both: Stock = stock_in_books(["here", "there"], [one, one._replace(strangers=(("fuze", Decimal(2)),))])
    assert [each.item.name for each in both.items] == [
        f"{book}/{item}" for book in ("here", "there") for item in ("fuse", "memory", "coil")
    ]
    assert [str(money) for money in one.worth] == ["51.60 EUR"]  # 9 x 0.40, 3 x 8.00 and 2 x 12.00
    assert [str(money) for money in both.worth] == ["103.20 EUR"]
    assert both.strangers == (("there/fuze", Decimal(2)),)
