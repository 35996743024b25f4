"""What the schema refuses is told in plain words, at the right line, with the way to mend it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.books import BOARD, JOB, JOB_PATH, line_of, make_book
from tests.conftest import Run

CASES = {
    "unit of another kind": ('"23.4 Ω"', '"23.4 kg"', "kg", "Ω"),
    "decimal comma": ('"23.4 Ω"', '"23,4 Ω"', "comma", "23.4"),
    "key misspelt": ("point = ", "piont = ", 'unknown key "piont"', 'write "point"'),
    "table misspelt": ("[[work]]", "[[wrok]]", 'unknown key "wrok"', 'write "work"'),
    "no such choice": ('stage = "proof"', 'stage = "prof"', 'stage cannot be "prof"', 'write "proof"'),
    "no choice near": ('did = "clean"', 'did = "zzz"', 'did cannot be "zzz"', "choose one of inspect"),
    "number as text": ("minutes = 75", 'minutes = "75"', "minutes must be a number", "write it like"),
    "text as number": ('client = "c-001"', "client = 1", "client must be text in quotes", "c-031"),
    "negative time": ("minutes = 75", "minutes = -5", "minutes must be at least 0", "write it like"),
    "one bracket": ("[[trial]]", "[trial]", "the file needs a list", "write [[trial]]"),
    "two brackets": ("[board]", "[[board]]", "the file needs one table", "write [board]"),
    "number for a date": ("received = 2026-10-05", "received = 20261005", "must be a date", "2026-"),
    "table for a text": (
        'did = "clean"',
        'did = {is = "clean"}',
        "did must be text in quotes, not a table",
        "",
    ),
    "not a number": ("minutes = 75", "minutes = nan", "nan is not a number", "write the number"),
    "endless": ("minutes = 75", "minutes = inf", "must be at most 100000, not inf", ""),
    "no moment": (
        "at = 2026-10-08T11:00:00",
        'at = "2026-02-30T11:00:00"',
        "not in the calendar",
        "2026-",
    ),
    "a line feed behind a day": (
        "sent = 2026-10-12",
        'sent = "2026-10-12\\n"',
        "not a day of the calendar",
        "2026-",
    ),
    "another age": ("sent = 2026-10-12", "sent = 9999-12-31", "sent cannot be", "1900 to 2199"),
    "far too large": ("minutes = 75", f"minutes = {10**40}", "the number is too large", ""),
    "no day": ("received = 2026-10-05", 'received = "2026-02-31"', "not a day of the calendar", "2026-"),
    "money": ('"155.00 EUR"', '"155.00"', "no currency", "letters"),
    "duration": ('"P6M"', '"6 months"', "not a duration", "P6M"),
    "limit": ('"10 Ω .. 60 Ω"', '"10 bis 60"', "10 bis 60", ""),
    "empty": ('title = "No picture"', 'title = ""', "title is empty", ""),
    "id": ('id = "K26-0001"', 'id = "26-1"', 'id cannot be "26-1"', 'write id = "K26-0001"'),
}


@pytest.mark.parametrize(("before", "after", "message", "mend"), CASES.values(), ids=CASES)
def test_one_finding_at_its_line(
    tmp_path: Path, run: Run, before: str, after: str, message: str, mend: str
) -> None:
    text = JOB.replace(before, after, 1)
    assert text != JOB
    book = make_book(tmp_path, {JOB_PATH: text})
    ran = run("lint", "--book", book, "--format", "json")
    schema = [finding for finding in ran.data["findings"] if finding["line"] == line_of(text, after)]
    assert [finding["rule"] for finding in schema] == ["schema"]
    assert message in schema[0]["message"]
    assert mend in schema[0]["mend"]
    assert ran.status == 1


def test_a_missing_key_is_shown_with_an_example(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path, {JOB_PATH: JOB.replace("received = 2026-10-05\n", "")})
    ran = run("lint", "--book", book)
    assert '"received" is missing in [dates]' in ran.out
    assert "add received = 2026-" in ran.out


def test_a_key_required_by_another_is_shown_with_an_example(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path, {JOB_PATH: JOB.replace('did = "clean"', 'did = "bake"')})
    assert re.search(r"add hours = [0-9]", run("lint", "--book", book).out)


def test_a_newer_format_is_one_finding(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path, {JOB_PATH: JOB.replace("format = 1", "format = 2\nunheard = true")})
    findings = run("lint", "--book", book, "--format", "json").data["findings"]
    assert [(finding["rule"], finding["line"]) for finding in findings] == [("schema", 1)]
    assert "upgrade jobkit" in findings[0]["mend"]


@pytest.mark.parametrize(
    ("count", "last"), [(101, 'unknown key "k100"'), (102, '"k100" and 1 more are unknown keys too')]
)
def test_very_many_unknown_keys_are_told_together_and_the_rest_is_read(
    tmp_path: Path, run: Run, count: int, last: str
) -> None:
    keys = "".join(f"k{number} = 1\n" for number in range(count))
    book = make_book(tmp_path, {JOB_PATH: JOB.replace("format = 1\n", f"format = 1\n{keys}")})
    found = run("lint", "--book", book, "--format", "json").data["findings"]
    told = [one for one in found if one["rule"] == "schema"]
    assert (len(told), told[-1]["message"]) == (101, last)
    assert run("show", "K26-0001", "--book", book, "--format", "json").data["client"] == "c-001"


def test_what_is_no_number_is_found_beside_what_else_is_wrong(tmp_path: Path, run: Run) -> None:
    text = JOB.replace("minutes = 75", "minutes = nan").replace('client = "c-001"', "client = 1")
    book = make_book(tmp_path, {JOB_PATH: text})
    found = run("--book", book, "lint", "--format", "json").data["findings"]
    assert [(one["line"], one["message"]) for one in found if one["rule"] == "schema"] == [
        (line_of(text, "client = 1"), "client must be text in quotes, not 1"),
        (line_of(text, "minutes = nan"), "nan is not a number"),
    ]


@pytest.mark.parametrize(
    ("line", "mend"),
    [
        ("", 'add id = "K26-0001"'),
        ('id = "k26-1"\n', 'write id = "K26-0001", or rename the file'),
        ("id = 1\n", 'write id = "K26-0001", or rename the file'),
    ],
    ids=["missing", "of another form", "not a text"],
)
def test_the_id_that_a_file_lacks_is_told_from_its_name(
    tmp_path: Path, run: Run, line: str, mend: str
) -> None:
    book = make_book(tmp_path, {JOB_PATH: JOB.replace('id = "K26-0001"\n', line, 1)})
    found = run("--book", book, "lint", "--format", "json").data["findings"]
    assert [one["mend"] for one in found if one["about"] == "id"] == [mend]


def test_the_design_that_a_board_file_lacks_is_told_from_its_name(tmp_path: Path, run: Run) -> None:
    board = BOARD.replace('design = "alder-a1"\n', "", 1)
    book = make_book(tmp_path, {"boards/alder-a1.toml": board})
    found = run("--book", book, "lint", "--format", "json").data["findings"]
    assert [one["mend"] for one in found if one["about"] == "design"] == ['add design = "alder-a1"']


@pytest.mark.parametrize(
    ("there", "mend"),
    [("", 'write "stage" or "state"'), ('state = "cold"\n', 'write "stage"')],
    ids=["both are free", "one is there already"],
)
def test_keys_that_are_equally_near_are_all_told(tmp_path: Path, run: Run, there: str, mend: str) -> None:
    entry = f'\n[[reading]]\npoint = "VMEM"\nkind = "resistance"\nvalue = "1 Ω"\nstae = "x"\n{there}'
    book = make_book(tmp_path, {JOB_PATH: JOB + entry})
    found = run("--book", book, "lint", "--format", "json").data["findings"]
    assert [one["mend"] for one in found if one["about"] == "stae"] == [mend]
