"""What to work on next: order, next step, minutes, and what a job waits for."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from jobkit.book.read.load import load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Check, Design
from jobkit.jobs.digest import facts_of
from jobkit.jobs.duration import parse_duration
from jobkit.jobs.job import Job
from jobkit.jobs.settings import LoadProof, Proof, Settings, WarrantyHabit
from jobkit.pages.bench.queue import queue_page
from jobkit.pages.blocks import Table
from jobkit.reckon.progress.next_step import needs_job
from jobkit.reckon.progress.queue import Queued, queue_of

PROOF = Proof(function=("picture",), load=LoadProof("load run", Decimal(30)), last=("final clean",))
BENCH = Bench(
    settings=Settings(proof={"graphics card": PROOF}),
    designs={
        "alder-a1": Design("boards/alder-a1.toml", "alder-a1", checks=(Check((), "picture", Decimal(5)),))
    },
)

HEAD = """\
format = 1
id = "{id}"
client = "c-1"
title = "t"
[board]
kind = "graphics card"
design = "alder-a1"
[intake]
complaint = "c"
[dates]
received = 2026-10-01
"""
STARTED = "quoted = 2026-10-02\nagreed = 2026-10-03\nstarted = 2026-10-04\n"
FIXED = STARTED + '[cause]\npart = "U1"\n[[work]]\nat = 2026-10-05T09:00:00\ndid = "reball"\npart = "U1"\n'
REPAIRED = FIXED.replace("[cause]", "finished = 2026-10-06\n[cause]")
ENDED = "finished = 2026-10-06\n"
LOOKED = '[[work]]\nat = 2026-10-01T09:00:00\ndid = "inspect"\n'
READ = '[[reading]]\nat = 2026-10-01T10:00:00\nstage = "arrival"\npoint = "V12"\nkind = "resistance"\nvalue = "9 Ω"\n'
PICTURE = '[[trial]]\nat = 2026-10-05T12:00:00\nrun = "picture"\nresult = "pass"\n'
LOADED = '[[trial]]\nat = 2026-10-05T13:00:00\nrun = "load run"\nminutes = 30\nresult = "pass"\n'
CLEANED = '[[work]]\nat = 2026-10-05T15:00:00\ndid = "clean"\nwhat = "final clean"\n'
PRICED = '[price]\ncharged = "9.00 EUR"\n'
PAYMENT = '[[price.payment]]\non = 2026-10-05\namount = "{} EUR"\n'
SENT = "sent = 2026-10-07\n" + PRICED


def _job(more: str, name: str = "K26-0001") -> Job:
    loaded = load_job(f"jobs/2026/{name}.toml", (HEAD.format(id=name) + more).encode())
    assert loaded.job is not None
    assert not loaded.troubles
    return loaded.job


def queued(*jobs: Job) -> tuple[Queued, ...]:
    known = [facts_of(job) for job in jobs]
    whole = {job.path: job for job, facts in zip(jobs, known, strict=True) if needs_job(facts)}
    return queue_of(known, whole, BENCH)


STEPS = {
    "booked in": ("", "inspect, measure cold, quote", None, ""),
    "quoted": ("quoted = 2026-10-02\n", "ask the client", None, "the client's answer"),
    "agreed": ("quoted = 2026-10-02\nagreed = 2026-10-03\n", "start", None, ""),
    "no cause yet": (STARTED, "find the fault: picture", 5, ""),
    "cause known": (STARTED + '[cause]\npart = "U1"\n', "fix U1", None, ""),
    "repaired": (FIXED, "test it: picture", 5, ""),
    "picture seen": (FIXED + PICTURE, "test it: load run, 30 min", 30, ""),
    "load run passed": (FIXED + PICTURE + LOADED, "test it: final clean", None, ""),
    "all proved": (FIXED + PICTURE + LOADED + CLEANED, "finish it: outcome, paper, date", None, ""),
    "inspected": (LOOKED, "measure cold, quote", None, ""),
    "measured": (READ, "inspect, quote", None, ""),
    "inspected and measured": (LOOKED + READ, "quote", None, ""),
    "agreed by telephone": (
        'quoted = 2026-10-02\n[[price.agreed]]\non = 2026-10-03\namount = "9.00 EUR"\n',
        "start",
        None,
        "",
    ),
    "beyond repair": (STARTED, "finish it: fate of the board, paper, date", None, ""),
    "ready, not proved": (REPAIRED + PICTURE, "test it: load run, 30 min", 30, ""),
    "ready, not proved, unpaid": (REPAIRED + '[price]\ncharged = "9.00 EUR"\n', "test it: picture", 5, ""),
    "ready, proved, unpaid": (
        REPAIRED + PICTURE + LOADED + CLEANED + '[price]\ncharged = "9.00 EUR"\n',
        "ask for payment, or send it",
        None,
        "",
    ),
    "ready, paid in full": (
        REPAIRED + PICTURE + LOADED + CLEANED + PRICED + PAYMENT.format("9.00"),
        "pack it and send it",
        None,
        "",
    ),
    "ready, paid too much": (
        REPAIRED + PICTURE + LOADED + CLEANED + PRICED + PAYMENT.format("11.50"),
        "give back 2.50 EUR, then pack it and send it",
        None,
        "",
    ),
    "sent, paid in full": (SENT + PAYMENT.format("9.00"), "write down the day it was paid", None, ""),
    "sent, paid too much": (SENT + PAYMENT.format("11.50"), "give back 2.50 EUR", None, ""),
    "sent, paid in part": (SENT + PAYMENT.format("5.00"), "remind the client to pay", None, "payment"),
    "ready without outcome": ("finished = 2026-10-06\n", "write down the outcome", None, ""),
    "kept without consent": (
        ENDED + '[fate]\nis = "kept-for-parts"\n',
        "ask the owner for consent to keep the board for parts",
        None,
        "",
    ),
    "recycled without consent": (
        ENDED + '[fate]\nis = "recycled"\n',
        "ask the owner for consent to recycle the board",
        None,
        "",
    ),
    "sent, unpaid, with a wait left open": (
        'sent = 2026-10-07\n[price]\ncharged = "9.00 EUR"\n[[wait]]\nfor = "parts"\nsince = 2026-10-05\n',
        "remind the client to pay",
        None,
        "payment",
    ),
    "declined, given to us": (
        'declined = 2026-10-03\n[fate]\nis = "recycled"\nowner_agreed = true\n',
        "finish it: outcome, day",
        None,
        "",
    ),
    "declined": ("declined = 2026-10-03\n", "pack it and send it back", None, ""),
    "ready": (REPAIRED + PICTURE + LOADED + CLEANED, "pack it and send it", None, ""),
    "beyond repair, finished": (ENDED, "pack it and send it", None, ""),
    "waits": (
        STARTED + '[[wait]]\nfor = "parts"\nsince = 2026-10-05\nwhat = "U1"\n',
        "continue when it is here",
        None,
        "parts: U1",
    ),
}

OUTCOMES = {
    "ready": "repaired",
    "ready, not proved": "repaired",
    "ready, not proved, unpaid": "repaired",
    "ready, proved, unpaid": "repaired",
    "ready, paid in full": "repaired",
    "ready, paid too much": "repaired",
    "beyond repair": "beyond-repair",
    "beyond repair, finished": "beyond-repair",
    "kept without consent": "beyond-repair",
    "recycled without consent": "beyond-repair",
}


@pytest.mark.parametrize("name", STEPS)
def test_next_step(name: str) -> None:
    more, step, minutes, waits_for = STEPS[name]
    (one,) = queued(_job(more)._replace(outcome=OUTCOMES.get(name)))
    assert (one.next.step, one.next.minutes, one.next.waits_for) == (step, minutes, waits_for)
    assert one.next.alone == step.startswith("test it: load run")


FIRST = "finished = 2026-09-20\nsent = 2026-09-21\npaid = 2026-09-21\n"
COMEBACKS = {
    "under warranty": ("", "inspect, measure cold (under warranty until 2027-03-21, no quote)"),
    "inspected and measured": (LOOKED + READ, "start (under warranty until 2027-03-21, no quote)"),
    "misuse is paid for": ('[comeback]\nof = "K26-0001"\nfound = "misuse"\n', "inspect, measure cold, quote"),
    "the earlier job is not in the book": ('[comeback]\nof = "K26-0009"\n', "inspect, measure cold, quote"),
}


@pytest.mark.parametrize(("more", "step"), COMEBACKS.values(), ids=COMEBACKS)
def test_a_comeback_under_warranty_gets_no_quote(more: str, step: str) -> None:
    first = _job(FIRST)._replace(outcome="repaired")
    more = more if "[comeback]" in more else f'[comeback]\nof = "K26-0001"\n{more}'
    settings = BENCH.settings._replace(warranty=(WarrantyHabit(parse_duration("P6M")),))
    jobs = (first, _job(more, "K26-0002"))
    whole = {job.path: job for job in jobs}
    found = queue_of([facts_of(job) for job in jobs], whole, BENCH._replace(settings=settings))
    assert [one.next.step for one in found] == [step]


def test_once_the_warranty_is_over_the_client_pays() -> None:
    first = _job(FIRST)._replace(outcome="repaired")
    later = _job('[comeback]\nof = "K26-0001"\n', "K27-0002")
    later = later._replace(dates=later.dates._replace(received=date(2027, 3, 22)))
    settings = BENCH.settings._replace(warranty=(WarrantyHabit(parse_duration("P6M")),))
    jobs = (first, later)
    found = queue_of(
        [facts_of(job) for job in jobs], {job.path: job for job in jobs}, BENCH._replace(settings=settings)
    )
    assert found[0].next.step == "inspect, measure cold, quote"


def test_a_rail_that_reads_wrong_comes_before_any_power() -> None:
    proof = Proof(cold_resistance=("V12",), function=("picture",))
    bench = BENCH._replace(settings=Settings(proof={"graphics card": proof}))
    wrong = READ.replace('stage = "arrival"', 'stage = "proof"\nstate = "cold"\nlimit = ">= 200 Ω"')
    job = _job(FIXED + wrong.replace("10-01T10", "10-05T11"))
    (one,) = queue_of([facts_of(job)], {job.path: job}, bench)
    assert one.next.step == "no power yet: V12 resistance, cold is outside its limit"


def test_what_waits_is_in_the_table_too() -> None:
    jobs = [_job("", "K26-0001"), _job("quoted = 2026-10-02\n", "K26-0002")]
    table = queue_page("Bench", queued(*jobs), date(2026, 10, 9)).table
    assert isinstance(table, Table)
    assert [(row[0], row[5]) for row in table.rows] == [("K26-0001", ""), ("K26-0002", "the client's answer")]


def test_a_job_that_is_done_is_not_picked_up() -> None:
    assert queued(_job("finished = 2026-10-06\nsent = 2026-10-07\n")) == ()


def test_promised_first_then_the_oldest_and_those_held_up_last() -> None:
    jobs = {
        "K26-0001": "",
        "K26-0002": "promised = 2026-11-01\n",
        "K26-0003": "promised = 2026-10-20\n",
        "K26-0004": "quoted = 2026-10-02\npromised = 2026-10-10\n",
    }
    order = [one.facts.id for one in queued(*(_job(more, name) for name, more in jobs.items()))]
    assert order == ["K26-0003", "K26-0002", "K26-0001", "K26-0004"]


@pytest.mark.parametrize(
    ("more", "awaited"),
    [
        ("", "the board to arrive"),
        ('[[wait]]\nfor = "shipping"\nsince = 2026-10-03\nwhat = "in customs"\n', "shipping: in customs"),
    ],
)
def test_a_board_on_its_way_is_waited_for(more: str, awaited: str) -> None:
    text = HEAD.format(id="K26-0001").replace("received", "announced") + more
    job = load_job("jobs/2026/K26-0001.toml", text.encode()).job
    assert job
    (step,) = queued(job)
    assert (step.status.word, step.next.waits_for) == ("announced", awaited)
