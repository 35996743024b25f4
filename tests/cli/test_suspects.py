"""`jobkit suspects` on the example book, as its user asks."""

from __future__ import annotations

import shutil
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.books import EXAMPLE
from tests.conftest import Run
from tests.schema.schemas import fast


def _asked(run: Run, *words: str) -> dict[str, Any]:
    ran = run("suspects", *words, "--format", "json", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    assert fast("answers/suspects").is_valid(ran.data)
    data: dict[str, Any] = ran.data
    return data


def _names(data: dict[str, Any]) -> list[str]:
    return [one["cause"] for one in data["suspects"]]


def test_one_channel_each_of_two_packages_on_a_rail(run: Run) -> None:
    before = _asked(run, "61", "--on", "2026-11-19")
    assert _names(before)[0].startswith("rail VMEM2")
    packages = [one for one in before["suspects"] if one["part"] in {"U6", "U7"}]
    assert all(one["probability"] < before["suspects"][0]["probability"] for one in packages)
    assert before["next"][0]["check"] == "VMEM2 voltage"


def test_the_reading_settles_the_order(run: Run) -> None:
    before, after = (_asked(run, "61", "--on", day)["suspects"] for day in ("2026-11-19", "2026-11-20"))
    assert after[0]["cause"] == before[0]["cause"]
    assert after[0]["probability"] > 0.9 > before[0]["probability"]
    assert "VMEM2 voltage 1.262 V, low" in after[0]["supports"]


def test_torn_pads_of_a_package_that_was_reballed_elsewhere(run: Run) -> None:
    before = _asked(run, "62", "--on", "2026-11-19")
    assert _names(before)[0] == "joints of U6, worked on elsewhere before"
    after = _asked(run, "62", "--on", "2026-11-20")
    assert _names(after)[0] == "damaged pads of U6: B3 torn-off, U3 torn-off"


def test_no_powered_check_before_the_cold_readings(run: Run) -> None:
    asked = _asked(run, "62", "--on", "2026-11-20")
    assert asked["unread"] == ["VCORE", "VMEM", "V12", "VMEM2"]
    assert {one["state"] for one in asked["next"]} == {"cold"}
    assert {"VCORE resistance", "VMEM resistance", "V12 resistance"} <= {
        one["check"] for one in asked["next"]
    }
    assert {one["state"] for one in asked["held_back"]} == {"powered"}


def test_the_press_test_accuses_the_processor(run: Run) -> None:
    asked = _asked(run, "49", "--on", "2026-11-20")
    assert _names(asked)[0] == "processor or its joints"
    assert "press test failed" in asked["suspects"][0]["supports"]


def test_an_undocumented_board_has_an_order_and_no_figures(run: Run) -> None:
    asked = _asked(run, "59", "--on", "2026-11-20")
    assert not asked["documented"]
    assert {one["probability"] for one in asked["suspects"]} == {None}
    ran = run("suspects", "59", "--on", "2026-11-20", "--book", EXAMPLE)
    assert "%" not in ran.out


def test_a_rail_that_does_not_come_up(run: Run) -> None:
    assert _names(_asked(run, "57", "--on", "2026-11-16"))[0].startswith("rail VCORE")
    mended = _asked(run, "57", "--on", "2026-11-20")
    assert not any(one["supports"] for one in mended["suspects"])


@pytest.mark.parametrize("columns", [80, 200])
def test_no_line_is_wider_than_the_terminal(run: Run, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for job in ("49", "59", "61", "62"):
        page = run("suspects", job, "--on", "2026-11-20", "--book", EXAMPLE).out
        assert max(map(len, page.split("\n"))) <= columns


def test_an_unknown_job_is_refused(run: Run) -> None:
    ran = run("suspects", "999", "--book", EXAMPLE)
    assert ran.status == 2
    assert 'there is no job "999"' in ran.err


def test_queue_and_show_name_the_same_check(run: Run) -> None:
    day = ("--on", "2026-11-19", "--book", str(EXAMPLE))
    (queued,) = (
        one for one in run("queue", *day, "--format", "json").data["jobs"] if one["id"] == "K26-0061"
    )
    assert (queued["step"], queued["minutes"]) == ("find the fault: VMEM2 voltage", 2)
    assert "find the fault: VMEM2 voltage, 2 min" in run("show", "61", *day).out


def test_a_suspect_that_is_nearly_certain_is_to_be_looked_at(run: Run) -> None:
    day = ("--on", "2026-11-20", "--book", str(EXAMPLE))
    assert "confirm and write down the cause: rail VMEM2" in run("show", "61", *day).out
    assert (
        "Look at this first, and confirm it before you replace anything: rail VMEM2"
        in run("suspects", "61", *day).out
    )


def test_why_shows_the_arithmetic(run: Run) -> None:
    ran = run("suspects", "61", "--why", "rail VMEM2", "--on", "2026-11-19", "--book", EXAMPLE)
    assert ran.status == 0
    assert "1 − 0.999 × (1 − 0.4)" in ran.out
    asked = run("suspects", "61", "--why", "rail VMEM2", "--format", "json", "--book", EXAMPLE)
    assert fast("answers/suspects-why").is_valid(asked.data)
    ran = run("suspects", "61", "--why", "no such", "--book", EXAMPLE)
    assert (ran.status, ran.err.count("\n")) == (2, 1)


def test_the_causes_of_a_design(run: Run) -> None:
    ran = run("suspects", "--design", "tarnhow", "--on", "2026-11-20", "--format", "json", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    assert fast("answers/suspects-design").is_valid(ran.data)
    assert ran.data["jobs"] == sum(one["boards"] for one in ran.data["causes"])
    assert ran.data["causes"][0]["jobs"] == ["K26-0017", "K26-0038", "K26-0046"]


def test_learning_writes_remarks_and_never_over_what_is_there(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(EXAMPLE, book)
    board = book / "boards" / "tarnhow-t7-16.toml"
    before = tomllib.loads(board.read_text("utf-8"))
    ran = run("suspects", "--learn", "tarnhow", "--on", "2026-11-20", "--book", book)
    assert (ran.status, ran.err) == (0, "")
    after = tomllib.loads(board.read_text("utf-8"))
    assert after["cause"][: len(before["cause"])] == before["cause"]
    assert {"name": "fan bearing worn", "weight": 1, "learned": date(2026, 11, 20)} in after["cause"]
    assert "a remark; the value by hand stays" in " ".join(ran.out.split())
    text = board.read_text("utf-8")
    again = run("suspects", "--learn", "tarnhow", "--on", "2026-11-20", "--book", book)
    assert board.read_text("utf-8") == text
    assert "nothing was written and there is nothing to undo" in " ".join(again.out.split())
    assert run("lint", board, "--book", book).status == 0


REFUSED = {
    "a job with a design": ("61", "--design", "tarnhow"),
    "design and learn": ("--design", "tarnhow", "--learn", "tarnhow"),
    "learn from a revision": ("--learn", "tarnhow", "--rev", "HEAD"),
    "an unknown design": ("--design", "nothing"),
    "why of general causes": ("59", "--why", "firmware"),
}


@pytest.mark.parametrize("words", REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_told_is_refused_in_one_line(run: Run, words: tuple[str, ...]) -> None:
    ran = run("suspects", *words, "--on", "2026-11-20", "--book", EXAMPLE)
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)


def _broken_board(tmp_path: Path, old: str, new: str) -> Path:
    """Copy the example book and make a slip in the board file of its graphics cards."""
    book = tmp_path / "book"
    shutil.copytree(EXAMPLE, book)
    board = book / "boards/tarnhow-t7-16.toml"
    text = board.read_text("utf-8")
    assert old in text
    board.write_text(text.replace(old, new, 1), "utf-8")
    return book


def _line_of(book: Path) -> int:
    lines = (book / "boards/tarnhow-t7-16.toml").read_text("utf-8").splitlines()
    return next(number for number, line in enumerate(lines, 1) if line.startswith('affects = { "6L"'))


def test_a_board_file_that_cannot_be_read_is_no_undocumented_board(run: Run, tmp_path: Path) -> None:
    book = _broken_board(tmp_path, '"6H" = 0.9, picture = 0.3 }', '"6H" = 0.9, picture = }')
    ran = run("suspects", "61", "--book", book)
    assert (ran.status, ran.out) == (2, "")
    assert (
        f"boards/tarnhow-t7-16.toml:{_line_of(book)} cannot be read: the value after = is missing" in ran.err
    )
    assert "goes without it" in run("show", "61", "--book", book).err
    assert "goes without it" in run("memory", "42", "--book", book).err


@pytest.mark.parametrize("value", ["90", "-0.2", '"90 %"'])
def test_a_probability_that_cannot_be_read_is_said(run: Run, tmp_path: Path, value: str) -> None:
    book = _broken_board(tmp_path, '"6L" = 0.9', f'"6L" = {value}')
    ran = run("suspects", "61", "--book", book)
    assert ran.status == 0
    assert (
        f"boards/tarnhow-t7-16.toml:{_line_of(book)} cannot be read, so the answer goes without it: 6L "
        in ran.err
    )
    assert "write it like 0.9" in ran.err


def test_a_name_under_affects_that_nothing_has_is_said(run: Run, tmp_path: Path) -> None:
    book = _broken_board(tmp_path, '"6L" = 0.9', '"6X" = 0.9')
    ran = run("suspects", "61", "--book", book)
    assert "`affects` tells nothing there: 6X (U6 or its joints)" in " ".join(ran.out.split())


def test_general_causes_speak_of_no_board_file(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(EXAMPLE, book)
    job = book / "jobs/2026/K26-0059.toml"
    seen = '\n[[seen]]\nat = 2026-11-19T10:40:00\ncheck = "memory test"\nfailed = ["3A", "3B"]\n'
    job.write_text(job.read_text("utf-8") + seen, "utf-8")
    out = run("suspects", "59", "--book", book).out
    assert "Not a name of the board file" not in out
    assert "Without a board file not known by name, so it tells nothing here: 3A; 3B." in " ".join(
        out.split()
    )
