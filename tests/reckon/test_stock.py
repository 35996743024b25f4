"""On hand is what was counted less what jobs took from stock on later days."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from jobkit.book.read.bench import read_stock
from jobkit.book.read.board import read_design
from jobkit.book.read.load import document, load_job
from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.reckon.stock.donors import donors
from jobkit.reckon.stock.on_hand import OnHand, Stock, since_counted, stock

FUSE = 'format = 1\n[item.fuse]\nwhat = "fuse"\ncounted = 9\ncounted_on = 2026-09-30\nreorder_at = 4\n'
ON = date(2026, 11, 20)


def bench(text: str) -> Bench:
    doc, _ = document(text.encode())
    assert doc is not None
    items, troubles = read_stock(doc)
    assert troubles == ()
    return Bench(stock=items)


def job(number: int, more: str, dates: str = "received = 2026-09-01\n") -> Facts:
    text = (
        f'format = 1\nid = "K26-{number:04}"\nclient = "c-1"\ntitle = "t"\n[board]\nkind = "graphics card"\n'
        f'[intake]\ncomplaint = "c"\n[dates]\n{dates}{more}'
    )
    loaded = load_job(f"jobs/2026/K26-{number:04}.toml", text.encode())
    assert loaded.troubles == ()
    assert loaded.job is not None
    return facts_of(loaded.job)


def used(item: str = "fuse", at: str = "2026-10-05T10:00:00", **more: str) -> str:
    keys = "".join(f"{key.rstrip('_')} = {value}\n" for key, value in more.items())
    return f'[[used]]\nitem = "{item}"\n' + (f"at = {at}\n" if at else "") + keys


def shelf(text: str, *jobs: Facts, on: date = ON) -> Stock:
    known = facts_as_of(jobs, on)
    found = stock(known, bench(text), on)
    lately = since_counted(known, bench(text).stock.values())
    assert stock(lately, bench(text), on).items == found.items
    return found


def fuse(*jobs: Facts, on: date = ON) -> OnHand:
    return shelf(FUSE, *jobs, on=on).items[0]


TAKEN = [
    # entries, on hand
    ("", 9),
    (used(), 8),
    (used(qty="2"), 7),
    (used(qty="0.5"), Decimal("8.5")),
    (used(from_='"stock"'), 8),
    (used(from_='"bought"'), 9),
    (used(from_='"client"'), 9),
    (used(from_='"K26-0009"'), 9),
    (used(at="2026-09-29T10:00:00"), 9),
    (used(at="2026-09-30T23:59:59"), 9),
    (used(at="2026-10-01T00:00:00"), 8),
    (used(at="2026-11-20T23:59:59"), 8),
    (used(at="2026-11-21T00:00:00"), 9),
    (used() + used(), 7),
    (used("another thing"), 9),
]


@pytest.mark.parametrize(
    ("text", "dates", "looked_at"),
    [
        (FUSE, "received = 2026-09-01\nfinished = 2026-09-30\n", False),
        (FUSE, "received = 2026-09-01\nfinished = 2026-09-30\npaid = 2026-10-01\n", True),
        (FUSE, "received = 2026-09-01\n", True),
        ('format = 1\n[item.fuse]\nwhat = "fuse"\n', "received = 2026-09-01\nsent = 2026-09-02\n", True),
        ("", "received = 2026-09-01\nsent = 2026-09-02\n", False),
    ],
    ids=["over by then", "something later", "still open", "never counted", "nothing to count"],
)
def test_jobs_that_took_nothing_since_the_count_are_passed_by(
    text: str, dates: str, *, looked_at: bool
) -> None:
    one = job(1, "", dates)
    assert list(since_counted([one], bench(text or "format = 1\n").stock.values())) == [one] * looked_at


@pytest.mark.parametrize(("entries", "left"), TAKEN)
def test_what_counts_as_taken(entries: str, left: Decimal) -> None:
    there = fuse(job(1, entries))
    assert there.on_hand == left
    assert there.used == 9 - left


def test_two_benches_take_one_part_at_the_same_minute() -> None:
    assert fuse(job(1, used(part='"F1"')), job(2, used(part='"F1"'))).on_hand == 7


UNDATED = [
    ("received = 2026-09-01\n", 8),
    ("received = 2026-09-01\nstarted = 2026-09-02\nfinished = 2026-09-30\n", 9),
    ("received = 2026-09-01\nstarted = 2026-09-02\nfinished = 2026-10-01\n", 8),
    ("received = 2026-09-01\ncollected = 2026-09-30\n", 9),
]


@pytest.mark.parametrize(("dates", "left"), UNDATED)
def test_a_part_used_at_an_unknown_time_counts_as_taken_since_unless_its_job_was_over(
    dates: str, left: int
) -> None:
    assert fuse(job(1, used(at=""), dates)).on_hand == left


@pytest.mark.parametrize(("qty", "short"), [(4, False), (5, True), (6, True)])
def test_the_level_itself_is_short(qty: int, *, short: bool) -> None:
    assert fuse(job(1, used(qty=str(qty)))).short is short


def test_an_item_that_was_never_counted_says_what_was_used() -> None:
    there = shelf('format = 1\n[item.fuse]\nwhat = "fuse"\nreorder_at = 4\n', job(1, used())).items[0]
    assert (there.on_hand, there.used, there.short) == (None, Decimal(1), False)
    assert not there.worth


def test_a_count_of_a_later_day_is_not_known_yet() -> None:
    there = fuse(job(1, used()), on=date(2026, 9, 29))
    assert (there.on_hand, there.short) == (None, False)
    assert fuse(job(1, used()), on=date(2026, 9, 30)).on_hand == 9


def test_what_stock_does_not_have_is_named() -> None:
    known = shelf(FUSE, job(1, used("fuze", qty="2")), job(2, used("fuze")))
    assert known.strangers == (("fuze", Decimal(3)),)


LOTS = """\
format = 1
[item.memory]
what = "memory"
counted = {counted}
counted_on = 2026-09-30
cost = "10.00 EUR"
[[item.memory.lot]]
name = "a"
counted = 3
cost = "{cost}"
[[item.memory.lot]]
name = "b"
counted = 3
"""


@pytest.mark.parametrize(
    ("counted", "cost", "entries", "left", "worth"),
    [
        (6, "8.00 EUR", "", [3, 3], "54.00 EUR"),
        (6, "8.00 EUR", used("memory", lot='"a"'), [2, 3], "46.00 EUR"),
        (6, "8.00 EUR", used("memory"), [3, 3], "44.00 EUR"),
        (6, "8.00 EUR", used("memory", lot='"a"', qty="4"), [-1, 3], "20.00 EUR"),
        (6, "8.00 EUR", used("memory", qty="5"), [3, 3], "8.00 EUR"),
        (6, "8.00 EUR", used("memory", qty="7"), [3, 3], "0.00 EUR"),
        (6, "8.00 USD", "", [3, 3], "30.00 EUR + 24.00 USD"),
        (1.5, "8.00 EUR", used("memory", lot='"a"', qty="3"), [0, 3], "0.00 EUR"),
    ],
)
def test_lots_and_worth(counted: float, cost: str, entries: str, left: list[int], worth: str) -> None:
    there = shelf(LOTS.format(counted=counted, cost=cost), job(1, entries))
    assert [lot.on_hand for lot in there.items[0].lots] == left
    assert " + ".join(map(str, there.worth)) == worth


KEPT = '[cause]\npart = "U2"\n[fate]\nis = "kept-for-parts"\nowner_agreed = true\n'


def test_a_donor_has_what_was_not_taken() -> None:
    removed = '[[work]]\nat = 2026-09-02T10:00:00\nminutes = 5\ndid = "{}"\npart = "{}"\n'
    more = (
        KEPT + removed.format("remove", "U3") + removed.format("remove", "U4") + removed.format("fit", "U4")
    )
    donor = job(1, more, "received = 2026-09-01\nfinished = 2026-09-03\n")
    donor = donor._replace(outcome="beyond-repair", design="wick")
    doc = "\n".join(['design = "wick"', *(f'[[package]]\npart = "U{n}"' for n in range(1, 6))])
    taken = (
        used("memory", from_='"K26-0001"', part='"U9"', donor_part='"U5"'),
        used("coil", "2026-10-04T10:00:00", from_='"K26-0001"', part='"L1"'),
    )
    jobs = facts_as_of([donor, job(2, taken[0]), job(3, taken[1])], ON)
    (there,) = donors(jobs, {"wick": _design(doc)})
    assert [(one.part, one.onto, one.job, one.day) for one in there.taken] == [
        ("L1", "L1", "K26-0003", "2026-10-04"),
        ("U5", "U9", "K26-0002", "2026-10-05"),
    ]
    # U2 was the fault, U3 was removed, U5 was taken.
    assert (there.still_on, there.faulty) == (("U1", "U4"), "U2")


def test_a_board_is_a_donor_once_it_was_given_up() -> None:
    donor = job(1, KEPT, "received = 2026-09-01\nfinished = 2026-09-03\n")
    assert donors(facts_as_of([donor], date(2026, 9, 2)), {}) == ()
    assert len(donors(facts_as_of([donor], date(2026, 9, 3)), {})) == 1


def _design(text: str) -> Design:
    doc, _ = document(f'format = 1\nkind = "graphics card"\n{text}'.encode())
    assert doc is not None
    return read_design("boards/wick.toml", doc)[0]
