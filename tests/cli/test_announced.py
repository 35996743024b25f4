"""A board on its way: announced, waited for, and booked in when it comes."""

from __future__ import annotations

import pytest

from tests.at_the_bench import JOB, JOB_PATH
from tests.books import put
from tests.cli.conftest import AtBench

NEW = "jobs/2026/K26-0008.toml"
NEEDED = ("--client", "c-2", "--title", "Loud", "--complaint", "Loud fan", "--kind", "graphics card")


@pytest.fixture
def coming(bench: AtBench) -> AtBench:
    """Have a board announced two days ago."""
    out = bench.writes("book-in", *NEEDED, "--announced", "2026-10-20")
    assert out == f"K26-0008 announced: {NEW}\n"
    return bench


def job_text(bench: AtBench) -> str:
    return (bench.root / NEW).read_text("utf-8")


def test_it_is_sound_without_a_day_of_receipt(coming: AtBench) -> None:
    assert "[dates]\nannounced = 2026-10-20\n" in job_text(coming)
    assert "received" not in job_text(coming)
    assert coming("lint", str(coming.root / NEW)).status == 0
    assert "announced 2026-10-20" in coming.writes("show", "8")


def test_it_waits_for_shipping_until_it_comes(coming: AtBench) -> None:
    coming.writes("jot", "wait", "shipping", "in customs")
    assert "announced, waiting for shipping" in coming.writes("show", "8")
    out = coming.writes("jot", "received")
    assert out == "K26-0008 dates received 2026-10-22\n    wait.until 2026-10-22\n"
    assert "until" in job_text(coming)
    assert "status           booked in\n" in coming.writes("show", "8")
    assert coming("lint", str(coming.root / NEW)).status == 0


def test_other_waits_go_on_when_it_comes(coming: AtBench) -> None:
    coming.writes("jot", "wait", "parts", "a socket")
    coming.writes("jot", "received")
    assert "until" not in job_text(coming)


def test_nothing_can_be_measured_on_it(coming: AtBench) -> None:
    put(coming.root / JOB_PATH, JOB)
    ran = coming("read", "vmem", "23.4", "--job", "8", "--as-is")
    assert "was only announced" in ran.err + ran.out


@pytest.mark.parametrize("command", ["report", "bill"])
def test_it_has_no_papers_yet(coming: AtBench, command: str) -> None:
    ran = coming(command, "8")
    assert (ran.status, ran.out) == (2, "")
    assert "has not been received yet" in ran.err
    assert ran.err.count("\n") == 1
