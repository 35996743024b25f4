"""What changed between two states of a job: everything, each once, in the words of the job."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from jobkit.book.read.load import load_job, open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import (
    Agreement,
    Amended,
    BillLine,
    Credit,
    Inject,
    Pad,
    Payment,
    Reading,
    Seen,
    Trial,
    Used,
    Wait,
    Waive,
    Work,
)
from jobkit.jobs.job import Board, Dates, Job, Price
from jobkit.jobs.money import parse_money
from jobkit.reckon.changes.job_changes import Change, JobVersion, changes, judge
from jobkit.reckon.changes.job_fields import job_fields
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity
from tests.books import EXAMPLE, make_book
from tests.reckon.readings import a_job, a_reading, bench

AT = datetime(2026, 10, 22, 10, 5)
BARE = Job("jobs/2026/K26-0001.toml", "K26-0001", title="No picture")
V12 = Reading(
    ("reading", 0),
    AT,
    "ida",
    "arrival",
    "V12",
    "resistance",
    parse_quantity("0.4 Ω", "resistance"),
    parse_limit(">= 200 Ω", "resistance"),
    "cold",
)


def told(before: Job | None, after: Job | None, bench: Bench = Bench()) -> list[str]:  # noqa: B008 - immutable
    found = changes(before and JobVersion(before, bench), after and JobVersion(after, bench))
    return [f"{change.how} {change.what}: {change.words}" for change in found]


def words(**fields: Any) -> list[str]:
    """Tell what a job says that holds these fields and no others, without what every job says."""
    return [line.partition(": ")[2] for line in told(BARE, BARE._replace(**fields))]


# The phrase of each kind of entry; our own words, no source.
PHRASES = {
    "a reading out of its limit": ({"readings": (V12,)}, "V12 0.4 Ω out, arrival, cold"),
    "a reading without a limit": ({"readings": (V12._replace(limit=None),)}, "V12 0.4 Ω, arrival, cold"),
    "an open reading": (
        {"readings": (V12._replace(value=parse_quantity("OL", "resistance")),)},
        "V12 resistance OL in, arrival, cold",
    ),
    "a drop in diode mode": (
        {
            "readings": (
                V12._replace(
                    kind="diode", value=parse_quantity("0.45 V", "diode"), limit=None, red_on="ground"
                ),
            )
        },
        "V12 diode 0.45 V, arrival, cold, red on ground",
    ),
    "a voltage needs no kind": (
        {"readings": (V12._replace(kind="voltage", value=parse_quantity("12.0 V", "voltage"), limit=None),)},
        "V12 12.0 V, arrival, cold",
    ),
    "between two points": (
        {"readings": (V12._replace(to="V12P3", removed=("Q214", "U5"), settled=False),)},
        "V12 to V12P3 0.4 Ω out, arrival, cold, without Q214, U5, not settled",
    ),
    "an injection": (
        {
            "injections": (
                Inject(
                    (), AT, None, "V12", parse_quantity("1.0 V"), parse_quantity("2.0 A"), Decimal(2), "Q214"
                ),
            )
        },
        "injected 1.0 V and 2.0 A into V12, 2 min, hottest Q214",
    ),
    "a check": (
        {"seen": (Seen((), AT, None, "memory test", ("1L", "1H"), ("2L",)),)},
        "memory test: failed 2L; passed 1L, 1H",
    ),
    "something seen": ({"seen": (Seen((), AT, what="scorch mark"),)}, "scorch mark"),
    "a pad": (
        {"pads": (Pad((), AT, None, "Q214", "4", "supply", "lifted", "film", parse_quantity("0.3 Ω")),)},
        "pad Q214 ball 4 lifted, carries supply, repaired with film, reads 0.3 Ω",
    ),
    "a pad left open": (
        {"pads": (Pad((), AT, None, "U1", "A7", "no-connect", "torn-off", "left-open"),)},
        "pad U1 ball A7 torn-off, carries no-connect, left open",
    ),
    "work": (
        {"work": (Work((), AT, "ida", Decimal(75), "fit", "Q214", None, "new", "SAC305"),)},
        "fit Q214, new, SAC305, 75 min",
    ),
    "a part used": (
        {
            "used": (
                Used((), AT, None, "Q214", "stage-50a-5x6", "stock", Decimal(2), parse_money("4.20 EUR")),
            )
        },
        "used 2 × stage-50a-5x6 from stock for Q214, 4.20 EUR",
    ),
    "a part bought": (
        {"used": (Used((), AT, None, "Q214", "stage-50a-5x6", "bought"),)},
        "used 1 × stage-50a-5x6 bought for Q214",
    ),
    "a part of a donor": (
        {"used": (Used((), AT, None, "U3", None, "K26-0012"),)},
        "used 1 × a part from K26-0012 for U3",
    ),
    "a trial": ({"trials": (Trial((), AT, None, "load run", Decimal(30), "pass"),)}, "load run pass, 30 min"),
    "an open wait": (
        {"waits": (Wait((), reason="parts", since=date(2026, 10, 22), what="two power stages"),)},
        "waiting for parts since 2026-10-22, two power stages",
    ),
    "a finding accepted": (
        {"waivers": (Waive((), rule="meter-overdue", about="V12", why="checked the same day"),)},
        "accepted meter-overdue about V12, checked the same day",
    ),
    "a change owned up to": ({"amended": (Amended((), AT, "ida", "wrong meter"),)}, "amended: wrong meter"),
    "a price agreed": (
        {"price": Price(agreements=(Agreement((), on=date(2026, 10, 21), amount=parse_money("160 EUR")),))},
        "agreed 2026-10-21 160.00 EUR",
    ),
    "a line of the bill": (
        {
            "price": Price(
                lines=(BillLine((), what="cleaning", quantity=Decimal(2), each=parse_money("10 EUR")),)
            )
        },
        "bill 2 × cleaning, 10.00 EUR each",
    ),
    "a payment": (
        {
            "price": Price(
                payments=(Payment((), on=date(2026, 10, 25), amount=parse_money("155 EUR"), note="by bank"),)
            )
        },
        "payment 2026-10-25 155.00 EUR, by bank",
    ),
    "a credit": (
        {
            "price": Price(
                credits=(Credit((), on=date(2026, 11, 2), amount=parse_money("15 EUR"), why="late"),)
            )
        },
        "credit 2026-11-02 15.00 EUR, late",
    ),
    "a date": ({"dates": Dates(sent=date(2026, 10, 26))}, "sent 2026-10-26"),
    "a place": ({"board": Board(place="shelf B3")}, "location shelf B3"),
    "an outcome": ({"outcome": "repaired"}, "outcome repaired"),
}


@pytest.mark.parametrize(("fields", "phrase"), PHRASES.values(), ids=PHRASES)
def test_each_thing_has_its_phrase(fields: dict[str, Any], phrase: str) -> None:
    assert words(**fields) == [phrase]


def test_a_new_job_tells_each_matter_in_one_breath() -> None:
    after = BARE._replace(
        client="c-031",
        board=Board("graphics card", "alder-a1"),
        dates=Dates(received=date(2026, 10, 19), quoted=date(2026, 10, 20)),
        readings=(V12,),
    )
    assert told(None, after) == [
        "added job: booked in: No picture",
        "added client: client c-031",
        "added board: kind graphics card; design alder-a1",
        "added dates: received 2026-10-19; quoted 2026-10-20",
        "added reading: V12 0.4 Ω out, arrival, cold",
    ]


def test_a_job_that_is_gone() -> None:
    assert told(BARE, None) == ["removed job: removed from the book"]
    assert told(None, None) == []


def test_a_price_agreed_says_the_date_too() -> None:
    priced = Price(agreements=(Agreement((), on=date(2026, 10, 21), amount=parse_money("160 EUR")),))
    assert words(dates=Dates(agreed=date(2026, 10, 21)), price=priced) == ["agreed 2026-10-21 160.00 EUR"]
    assert words(dates=Dates(agreed=date(2026, 10, 22)), price=priced) == [
        "agreed 2026-10-22",
        "agreed 2026-10-21 160.00 EUR",
    ]


def test_what_was_before_is_told_with_a_change() -> None:
    before = BARE._replace(
        readings=(V12,), board=Board(place="shelf B3"), work=(Work((), AT, did="fit", minutes=Decimal(60)),)
    )
    after = before._replace(
        readings=(V12._replace(value=parse_quantity("400 Ω", "resistance"), meter="dmm-1", by="bo"),),
        board=Board(place="returned"),
        work=(Work((), AT, did="fit", minutes=Decimal(75), near=("U5",)),),
    )
    assert told(before, after) == [
        "changed board: location returned (was shelf B3)",
        "changed reading: V12 400 Ω in, arrival, cold, meter dmm-1, by bo (was V12 0.4 Ω out, by ida)",
        "changed work: fit, 75 min, near U5 (was 60 min)",
    ]


def test_entries_come_in_order_of_their_time() -> None:
    later, undated = V12._replace(at=AT + timedelta(hours=1), point="VMEM"), V12._replace(at=None, point="V5")
    work = Work((), AT + timedelta(minutes=30), did="clean")
    found = words(readings=(undated, later, V12), work=(work,))
    assert [line.split()[0] for line in found] == ["V12", "clean", "VMEM", "V5"]


def test_the_same_entry_twice_is_counted() -> None:
    """Two benches may each use one of a part in the same minute; both count."""
    used = Used((), AT, None, "Q214", "stage-50a-5x6", "stock")
    before, after = BARE._replace(used=(used,)), BARE._replace(used=(used, used, used))
    assert told(before, after) == ["added used: used 1 × stage-50a-5x6 from stock for Q214"] * 2
    assert told(after, before) == ["removed used: used 1 × stage-50a-5x6 from stock for Q214"] * 2


def test_order_and_place_in_the_file_are_no_change() -> None:
    other = V12._replace(point="VMEM")
    before = BARE._replace(readings=(V12, other))
    after = BARE._replace(readings=(other, V12._replace(path=("reading", 7))))
    assert told(before, after) == []


def test_what_cannot_be_read_is_counted_when_it_comes() -> None:
    broken = BARE._replace(broken=frozenset({("reading", 0, "value"), ("dates", "sent")}))
    assert told(BARE, broken) == ["changed job: 2 places in the file cannot be read"]
    assert told(broken, broken) == []
    assert told(broken, BARE) == []


def test_a_limit_that_changed_changes_the_verdict(tmp_path: Any) -> None:
    root = make_book(tmp_path)
    book = open_book(Tree(root))
    path = book.job_paths[0]
    job = load_job(path, book.shelf.read(path)).job
    assert job
    board = root / "boards/alder-a1.toml"
    board.write_text(board.read_text("utf-8").replace("10 Ω .. 60 Ω", "0.3 Ω .. 60 Ω"), "utf-8")
    found = changes(JobVersion(job, book.bench), JobVersion(job, open_book(Tree(root)).bench))
    assert [one._replace(steps=()) for one in found] == [
        Change(
            "reading",
            "changed",
            "VMEM 0.4 Ω in, arrival, cold (was VMEM 0.4 Ω out)",
            datetime(2026, 10, 8, 10, 0),
        ),
    ]


def test_an_empty_job_says_nothing() -> None:
    assert [text for _, _, text in job_fields(Job("", "")) if text] == []


def test_nothing_changes_from_a_job_to_itself() -> None:
    book = open_book(Tree(EXAMPLE))
    for path in book.job_paths:
        job = load_job(path, book.shelf.read(path)).job
        assert job
        assert told(job, job, book.bench) == []
        assert len(told(None, job, book.bench)) > 3
        assert told(job._replace(title="Another"), job, book.bench) != []


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({}, "in (0.38 Ω without leads)"),
        ({"again": (parse_quantity("0.52 Ω"),)}, "in (mean of all 0.39 Ω without leads)"),
        ({"meter": "dmm-2"}, "in"),
        ({"meter": "dmm-2", "again": (parse_quantity("0.52 Ω"),)}, "in (mean of all 0.51 Ω)"),
        ({"limit": None}, ""),
    ],
    ids=["leads", "leads and mean", "as shown", "mean", "no limit"],
)
def test_a_verdict_comes_with_the_value_that_it_is_made_of(how: dict[str, Any], words: str) -> None:
    told = {"meter": "dmm-1", "limit": parse_limit("0.2 .. 1.2 Ω"), **how}
    reading = a_reading("0.50 Ω", **told)
    known = JobVersion(a_job(1, [reading]), bench())
    assert judge(known)(reading) == words
