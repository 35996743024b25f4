"""Notes and messages: at any time, on the job's own page, on the client's report only where they are marked."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run

ON = ("--on", "2026-12-01")
SAID = """
[[note]]
at = 2026-10-01T09:00:00
by = "ida"
text = "parcel announced, sits in customs"

[[message]]
at = 2026-11-02T10:00:00
with = "client"
text = "runs well since"
log = "letter.txt"

[[note]]
at = 2026-10-12T17:00:00
text = "please keep the box for the way back"
client = true
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return make_book(
        tmp_path / "book", {JOB_PATH: JOB + SAID, "jobs/2026/K26-0001/letter.txt": "runs well since\n"}
    )


def test_they_may_be_dated_before_receipt_and_after_sending(book: Path, run: Run) -> None:
    found = run("--book", book, "lint", *ON, "--format", "json").data["findings"]
    assert [one for one in found if one["rule"].startswith(("entry", "date", "file"))] == []


def test_the_job_shows_all_in_order_of_time(book: Path, run: Run) -> None:
    page = run("--book", book, "show", "1", *ON).out
    _, _, listed = page.partition("Course of the stay")
    lines = [line.split() for line in listed.splitlines() if "  note " in line or "  message " in line]
    assert [line[0] for line in lines] == ["2026-10-01", "2026-10-12", "2026-11-02"]
    answer = run("--book", book, "show", "1", *ON, "--format", "json").data
    told = [one["details"] for one in answer["course"] if one["sort"] == "note"]
    assert told[1] == "please keep the box for the way back, (printed on the client's report)"
    data = answer["correspondence"]
    assert [(one["with"], one["text"], one["log"], one["client"]) for one in data] == [
        (None, "parcel announced, sits in customs", None, False),
        (None, "please keep the box for the way back", None, True),
        ("client", "runs well since", "letter.txt", False),
    ]


def test_the_report_prints_what_is_marked(book: Path, run: Run) -> None:
    paper = run("--book", book, "report", "1", *ON).out
    assert "12 October 2026  please keep the box for the way back" in paper
    assert "customs" not in paper
    assert "runs well" not in paper


def test_what_was_not_yet_said_is_not_shown(book: Path, run: Run) -> None:
    page = run("--book", book, "show", "1", "--on", "2026-10-11").out
    assert "sits in customs" in page
    assert "keep the box" not in page
    assert "keep the box" not in run("--book", book, "report", "1", "--on", "2026-10-11").out


def test_a_letter_that_is_not_there_is_found(book: Path, run: Run) -> None:
    (book / "jobs/2026/K26-0001/letter.txt").unlink()
    found = run("--book", book, "lint", *ON, "--format", "json").data["findings"]
    assert [one["about"] for one in found if one["rule"] == "file-missing"] == ["letter.txt"]
