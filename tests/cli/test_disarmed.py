"""What a book says cannot run in a spreadsheet or steer a terminal: CSV, JSON, lines for GitHub, words of commands."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.finding import Finding
from jobkit.pages.blocks import Table
from jobkit.pages.findings.github import as_commands
from jobkit.pages.forms.data import as_csv, as_json, disarmed
from tests.books import BOARD, JOB, JOB_PATH, make_book
from tests.conftest import Run

ESCAPE = "\x1b[2Jgone\x07\x9b31m"
RAW = ("\x1b", "\x07", "\x9b")


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=1+2", "'=1+2"),
        ('=HYPERLINK("http://example.org")', '\'=HYPERLINK("http://example.org")'),
        ("+1+2", "'+1+2"),
        ("-2+3", "'-2+3"),
        ("-cmd|' /C calc'!A0", "'-cmd|' /C calc'!A0"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("-", "'-"),
        ("-12", "-12"),
        ("-12.50", "-12.50"),
        ("+3.3 V", "+3.3 V"),
        ("-40 °C", "-40 °C"),
        ("-5 %", "-5 %"),
        ("-0.50 EUR", "-0.50 EUR"),
        ("fan = dead", "fan = dead"),
        ("", ""),
    ],
)
def test_a_formula_becomes_a_text_and_a_number_stays(cell: str, written: str) -> None:
    """The characters that begin a formula, and the apostrophe: OWASP, "CSV Injection" (from memory)."""
    assert disarmed(cell) == written


@given(st.text(max_size=20))
def test_no_cell_begins_a_formula(cell: str) -> None:
    (row,) = list(csv.reader(io.StringIO(as_csv(Table(["a", "b"], [["x", cell]])), newline="")))[1:]
    assert row[1].removeprefix("'") == cell.removeprefix("'")
    assert row[1][:1] not in {"=", "@", "\t", "\r"}
    assert row[1][:1] not in {"+", "-"} or row[1][1:2].isdigit()


@given(st.text())
def test_json_has_no_control_characters(text: str) -> None:
    written = as_json({"title": text})
    assert all(letter.isprintable() or letter == "\n" or not "\x7f" <= letter <= "\x9f" for letter in written)


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    job = JOB.replace('title = "No picture"', 'title = "=1+2\\u001b[2Jgone\\u0007\\u009b31m"')
    assert job != JOB
    return make_book(tmp_path, {JOB_PATH: job, "boards/alder-a1.toml": BOARD})


@pytest.mark.parametrize("form", ["text", "markdown", "csv", "json"])
@pytest.mark.parametrize("words", [("summarise",), ("queue",), ("show", "1"), ("earnings",), ("trail", "1")])
def test_no_page_has_a_raw_escape(run: Run, hostile: Path, words: tuple[str, ...], form: str) -> None:
    ran = run(*words, "--book", hostile, "--format", form)
    assert not any(one in ran.out + ran.err for one in RAW), ran.out


def test_a_title_that_is_a_formula_is_a_text_in_the_table(run: Run, hostile: Path) -> None:
    assert "'=1+2" in run("summarise", "--book", hostile, "--format", "csv").out


def test_the_chosen_job_is_told_without_escapes(run: Run, hostile: Path) -> None:
    ran = run("on", "1", "--book", hostile)
    assert ran.status == 0
    assert "gone" in ran.out
    assert not any(one in ran.out + ran.err for one in RAW)


def test_lines_for_github_have_no_escapes() -> None:
    found = Finding(
        "job-id", "error", f"jobs/{ESCAPE}.toml", (), "", "", f"{ESCAPE} is odd", "change it", 1, 1
    )
    written = as_commands([found])
    assert not any(one in written for one in RAW)
    assert "gone" in written


@pytest.mark.skipif(sys.platform == "win32", reason="words of a call are bytes only elsewhere")
@pytest.mark.parametrize(
    "words",
    [
        (b"book-in", b"--title", b"\xff", b"--client", b"c-9"),
        (b"book-in", b"--client", b"\xff"),
        (b"read", b"vmem", b"12", b"--job", b"1", b"--by", b"\xff"),
        (b"read", b"vmem", b"12", b"--job", b"1", b"--note", b"\xff"),
        (b"jot", b"note", b"\xff"),
        (b"jot", b"seen", b"picture", b"note", b"\xff"),
    ],
    ids=lambda words: " ".join(word.decode("utf-8", "backslashreplace") for word in words),
)
def test_bytes_that_are_no_text_are_refused(hostile: Path, words: tuple[bytes, ...]) -> None:
    before = {path: path.read_bytes() for path in hostile.rglob("*.toml")}
    command = [sys.executable.encode(), b"-m", b"jobkit", *words, b"--book", bytes(hostile)]
    ended = subprocess.run(command, capture_output=True, input=b"", check=False)
    assert ended.returncode == 2, ended.stderr
    assert b"Traceback" not in ended.stderr
    assert ended.stderr.startswith(b"jobkit: ")
    assert {path: path.read_bytes() for path in hostile.rglob("*.toml")} == before
