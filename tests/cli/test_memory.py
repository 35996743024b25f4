"""`jobkit memory`: from a CSV file to data lines, with a book and without."""

from __future__ import annotations

import io
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.books import EXAMPLE
from tests.conftest import Run
from tests.schema.schemas import fast

PAGES: dict[str, tuple[object, ...]] = {
    "memory-28-80.txt": ("28",),
    "memory-28-200.txt": ("28",),
    "memory-42-80.txt": ("42",),
    "memory-26-80.txt": (EXAMPLE / "jobs/2026/K26-0026/memory.csv",),
    "memory-42.md": ("42", "--format", "markdown"),
    "memory-42.json": ("42", "--format", "json"),
}


@pytest.mark.parametrize(("name", "words"), PAGES.items(), ids=PAGES)
def test_page(
    run: Run,
    golden: Callable[[str, str], None],
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    words: tuple[str, ...],
) -> None:
    width = name.partition(".")[0].rpartition("-")[2]
    monkeypatch.setenv("COLUMNS", width if width in {"80", "200"} else "100")
    ran = run("memory", *words, "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    golden(name, ran.out)


def a_log(folder: Path, text: str) -> Path:
    path = folder / "memory.csv"
    path.write_text(text, "utf-8")
    return path


ROWS = "6L,0000,0040,230\n6L,FFFF,FFFF,400\n6H,0000,0000,630\n"
LOG = "channel,written,read,times\n" + ROWS


def test_a_log_alone_needs_no_book(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    a_log(tmp_path, LOG)
    data = run("memory", "memory.csv", "--format", "json").data
    assert fast("answers/memory").is_valid(data)
    assert (data["design"], data["words"], data["errors"], data["width"]) == (None, 1260, 230, 16)
    low, high = data["channels"]
    assert (low["channel"], high["channel"]) == ("6H", "6L")
    assert [(line["line"], line["fault"], line["sure"]) for line in high["lines"]] == [
        (6, "stuck high", "yes")
    ]
    assert low["lines"] == []
    assert "stuck high" in run("memory", "memory.csv").out


def test_a_design_may_be_named(run: Run, tmp_path: Path) -> None:
    words = (
        "memory",
        a_log(tmp_path, LOG),
        "--book",
        EXAMPLE,
        "--design",
        "tarnhow-t7-16",
        "--format",
        "json",
    )
    data = run(*words).data
    assert data["design"] == "tarnhow-t7-16"
    assert [one["part"] for one in data["channels"]] == ["U6", "U6"]
    assert data["channels"][0]["lines"][0]["ball"] == "F2"
    assert data["failing"].startswith(
        "6L of U6, 1 of its 2 channels, right column, bottom; 6H passed; its rail VMEM2"
    )


def test_standard_input_is_read(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(LOG.encode())))
    assert run("memory", "-", "--format", "json").data["errors"] == 230


@pytest.mark.parametrize(
    ("text", "options"),
    [
        (
            "Lane,Pattern,Result,Hits\n" + ROWS,
            ("channel=Lane", "written=Pattern", "read=Result", "times=Hits"),
        ),
        (
            "lane;pattern;result;hits\n" + ROWS.replace(",", ";"),
            ("channel=Lane", "written=pattern", "read=result", "times=Hits"),
        ),
    ],
    ids=["names", "semicolons"],
)
def test_columns_may_be_named(run: Run, tmp_path: Path, text: str, options: tuple[str, ...]) -> None:
    words = [word for option in options for word in ("--column", option)]
    assert run("memory", a_log(tmp_path, text), *words, "--format", "json").data["errors"] == 230


def test_a_log_without_header_and_leading_zeros(run: Run, tmp_path: Path) -> None:
    log = a_log(tmp_path, "6L|0|40\n6L|FFFF|FFFF\n")
    words = ("--header", "channel,written,read", "--separator", "bar", "--width", "16")
    data = run("memory", log, *words, "--format", "json").data
    assert (data["width"], data["errors"], data["words"]) == (16, 1, 2)


def test_bench_toml_keeps_how_logs_are_read(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "book"
    book.mkdir()
    bench = 'format = 1\n[bench]\nname = "Quux Bench"\nletter = "Q"\nzone = "UTC"\n'
    keep = '[logs.memory]\ncolumns = { channel = "Lane", times = "Hits" }\nseparator = "bar"\nbad_rows = 40\n'
    (book / "bench.toml").write_text(bench + keep, "utf-8")
    log = a_log(book, "Lane|written|read|Hits\n" + ROWS.replace(",", "|") + "6L|junk|0000|1\n")
    data = run("memory", log, "--format", "json").data
    assert (data["errors"], data["skipped"]["count"]) == (230, 1)
    assert run("lint", "--book", book).status == 0
    refused = run("memory", log, "--bad-rows", "10")
    assert refused.status == 2
    assert 'line 5: 1 of 4 rows cannot be read, more than 10 %: written is "junk"' in refused.err


@pytest.mark.parametrize(
    ("text", "words", "message"),
    [
        ("", (), "memory.csv: the log is empty"),
        ("channel,written,read\n", (), "memory.csv: the log has a header and no rows"),
        (
            "time,t1\n0,25\n",
            (),
            "memory.csv line 1: no column is named channel; columns of the log: time, t1",
        ),
        (
            "channel,written,read\n6L,zz,1\n",
            (),
            "memory.csv line 2: 1 of 1 rows cannot be read, more than 5 %",
        ),
        (LOG, ("--column", "lane=Lane"), '--column cannot be "lane=Lane"; write it like "channel=HEADING"'),
        (LOG, ("--column", "channel=Lane"), 'no column is named "Lane", which is stated for channel'),
        (LOG, ("--separator", "two letters"), '--separator cannot be "two letters"'),
        (LOG, ("--encoding", "utf-9"), 'unknown encoding "utf-9"'),
        (LOG, ("--width", "300"), "--width cannot be 300"),
        (LOG, ("--bad-rows", "120"), "--bad-rows cannot be 120"),
    ],
)
def test_what_cannot_be_read_is_one_line(
    run: Run, tmp_path: Path, text: str, words: tuple[str, ...], message: str
) -> None:
    ran = run("memory", a_log(tmp_path, text), *words)
    assert ran.status == 2
    assert message in ran.err.replace("\n    ", " ")
    assert ran.out == ""


def test_a_file_that_is_not_there(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert "nowhere.csv is not a file" in run("memory", "nowhere.csv").err
    assert "is not a file" in run("memory", tmp_path).err
    assert "names a log" in run("memory", "15", "--book", EXAMPLE).err.replace("\n    ", " ")


def test_a_log_without_errors(run: Run, tmp_path: Path) -> None:
    ran = run("memory", a_log(tmp_path, "channel,written,read\n6L,0000,0000\n6L,FFFF,FFFF\n"))
    assert ran.status == 0
    assert "No word of the log has an error." in ran.out


def test_a_list_of_balls_that_is_too_short_names_no_ball(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(EXAMPLE, book)
    board = book / "boards/tarnhow-t7-16.toml"
    text = board.read_text("utf-8")
    begin = text.index('"6L" = [', text.index("balls"))
    first = text.index(",", begin)
    board.write_text(text[: begin + len('"6L" = [')] + text[first + 1 :], "utf-8")
    words = ("memory", a_log(tmp_path, LOG), "--book", book, "--design", "tarnhow-t7-16")
    assert "balls for 6L, and the log has" in run(*words).out
    assert {line["ball"] for line in run(*words, "--format", "json").data["channels"][0]["lines"]} == {None}
