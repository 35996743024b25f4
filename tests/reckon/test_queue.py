"""What to work on next: order, next step, minutes, and what a job waits for."""

from __future__ import annotations

from decimal import Decimal

import pytest

from jobkit.book.read.load import load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Check, Design
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Job
from jobkit.jobs.settings import LoadProof, Proof, Settings
from jobkit.reckon.progress.queue import NextStep, is_at_work, queue_of

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
MENDED = STARTED + '[cause]\npart = "U1"\n[[work]]\nat = 2026-10-05T09:00:00\ndid = "reball"\npart = "U1"\n'
PICTURE = '[[trial]]\nat = 2026-10-05T12:00:00\nrun = "picture"\nresult = "pass"\n'
LOADED = '[[trial]]\nat = 2026-10-05T13:00:00\nrun = "load run"\nminutes = 30\nresult = "pass"\n'
CLEANED = '[[work]]\nat = 2026-10-05T15:00:00\ndid = "clean"\nwhat = "final clean"\n'


def _job(more: str, name: str = "K26-0001") -> Job:
    loaded = load_job(f"jobs/2026/{name}.toml", (HEAD.format(id=name) + more).encode())
    assert loaded.job is not None
    assert not loaded.troubles
    return loaded.job


def queued(*jobs: Job) -> tuple[NextStep, ...]:
    known = [facts_of(job) for job in jobs]
    at_work = {job.path: job for job, facts in zip(jobs, known, strict=True) if is_at_work(facts)}
    return queue_of(known, at_work, BENCH)


STEPS = {
    "booked in": ("", "inspect, measure cold, quote", None, ""),
    "quoted": ("quoted = 2026-10-02\n", "ask the client", None, "the client's answer"),
    "agreed": ("quoted = 2026-10-02\nagreed = 2026-10-03\n", "start", None, ""),
    "no cause yet": (STARTED, "find the fault", None, ""),
    "cause known": (STARTED + '[cause]\npart = "U1"\n', "mend U1", None, ""),
    "mended": (MENDED, "test it: picture", 5, ""),
    "picture seen": (MENDED + PICTURE, "test it: load run, 30 min", 30, ""),
    "load run passed": (MENDED + PICTURE + LOADED, "test it: final clean", None, ""),
    "all proved": (MENDED + PICTURE + LOADED + CLEANED, "finish it: outcome, paper, date", None, ""),
    "declined": ("declined = 2026-10-03\n", "pack it and send it back", None, ""),
    "ready": ("finished = 2026-10-06\n", "pack it and send it", None, ""),
    "unpaid": (
        'finished = 2026-10-06\n[price]\ncharged = "9.00 EUR"\n',
        "ask for payment, or send it",
        None,
        "",
    ),
    "waits": (
        STARTED + '[[wait]]\nfor = "parts"\nsince = 2026-10-05\nwhat = "U1"\n',
        "continue when it is here",
        None,
        "parts: U1",
    ),
}


@pytest.mark.parametrize(("more", "step", "minutes", "waits_for"), STEPS.values(), ids=STEPS)
def test_next_step(more: str, step: str, minutes: int | None, waits_for: str) -> None:
    (one,) = queued(_job(more))
    assert (one.step, one.minutes, one.waits_for) == (step, minutes, waits_for)
    assert one.alone == step.startswith("test it: load run")


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
