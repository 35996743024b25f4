"""A trial that is written down with its log: minutes, result and verdict come from the log."""

from __future__ import annotations

from math import exp
from pathlib import Path

import pytest

from tests.at_the_bench import JOB_PATH
from tests.cli.conftest import AtBench

SPOT = "hot spot=<= 95 °C"


def lay(bench: AtBench, end: float = 86, minutes: int = 30, name: str = "load.csv") -> Path:
    folder = bench.root / JOB_PATH.removesuffix(".toml")
    folder.mkdir(exist_ok=True)
    rows = [
        f"{20 * row},{end - (end - 24) * exp(-20 * row / 140):.1f},{230 if row else 18}"
        for row in range(3 * minutes + 1)
    ]
    (folder / name).write_text("\n".join(["time,hot spot,power", *rows, ""]), "utf-8")
    return folder / name


@pytest.mark.parametrize(
    ("end", "minutes", "words", "written", "said"),
    [
        (86, 30, [], ("minutes = 30", 'result = "pass"'), "hot spot 86 °C in (<= 95 °C)"),
        (100, 30, [], ("minutes = 30", 'result = "fail"'), "hot spot 100 °C out (<= 95 °C)"),
        (86, 5, [], ("minutes = 5", 'result = "pass"'), "log: 4.7 min under load, 16 rows"),
        (86, 30, ["stopped"], ("minutes = 30", 'result = "stopped"'), "hot spot 86 °C in (<= 95 °C)"),
        (86, 30, ["minutes", "29"], ("minutes = 29", 'result = "pass"'), "log: 29.7 min under load, 91 rows"),
        (86, 30, ["limit", "memory=<= 95 °C", "pass"], ('result = "pass"',), "memory not checked (<= 95 °C)"),
    ],
    ids=["passed", "failed", "five minutes", "stopped by hand", "minutes by hand", "one limit not checked"],
)  # fmt: skip
def test_the_log_gives_minutes_and_result(
    bench: AtBench, end: float, minutes: int, words: list[str], written: tuple[str, ...], said: str
) -> None:
    lay(bench, end, minutes)
    ran = bench("jot", "trial", "load run", "log", "load.csv", "limit", SPOT, *words)
    assert ran.status == 0, ran
    assert said in ran.out
    text = " ".join(bench.text.split())
    assert all(one in text for one in written), text


def test_a_pass_that_the_log_contradicts_is_not_written(bench: AtBench) -> None:
    lay(bench, 100)
    before = bench.text
    ran = bench("jot", "trial", "load run", "pass", "log", "load.csv", "limit", SPOT)
    assert ran.status == 2
    assert "is called passed, and its log shows hot spot 100 °C, limit <= 95 °C" in ran.err
    assert bench.text == before


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["log", "gone.csv"], "there is no file gone.csv; name a file in jobs/2026/K26-0007/"),
        (["log", "load.csv"], "the log does not tell the result: there are no limits to check it against"),
        (["log", "load.csv", "limit", "memory=<= 95 °C"], "the log does not tell the result: memory: the log has no"),
        (["log", "picture.csv", "limit", SPOT], "picture.csv: line 1: no column is named time"),
    ],
    ids=["no file", "no limits", "no such sensor", "not a log"],
)  # fmt: skip
def test_what_the_log_cannot_tell_is_asked_for(bench: AtBench, words: list[str], message: str) -> None:
    lay(bench).with_name("picture.csv").write_text("nothing that has a column of times\n")
    ran = bench("jot", "trial", "load run", *words)
    assert ran.status == 2
    assert message in ran.err
    assert "[[trial]]" not in bench.text


def test_a_trial_that_is_not_a_loaded_run_keeps_its_log_to_itself(bench: AtBench) -> None:
    lay(bench).with_name("picture.txt").write_text("looks fine\n")
    assert "log picture.txt" in bench("jot", "trial", "picture", "pass", "log", "picture.txt").out


def test_what_was_written_can_be_taken_back(bench: AtBench) -> None:
    lay(bench)
    before = bench.text
    bench("jot", "trial", "load run", "log", "load.csv", "limit", SPOT)
    ran = bench("undo")
    assert ran.status == 0
    assert "load.csv stays, and its entry is gone" in ran.err
    assert bench.text == before


def test_a_log_from_elsewhere_is_copied_and_its_verdict_said(bench: AtBench, tmp_path: Path) -> None:
    log = lay(bench)
    elsewhere = log.rename(tmp_path / "run-7.csv")
    ran = bench("jot", "trial", "load run", "log", str(elsewhere), "limit", SPOT)
    assert "copied to jobs/2026/K26-0007/run-7.csv" in ran.out
    assert "hot spot 86 °C in (<= 95 °C)" in ran.out
    assert log.with_name("run-7.csv").is_file()


def test_a_log_that_fails_the_entry_is_not_left_behind(bench: AtBench, tmp_path: Path) -> None:
    log = lay(bench, 100)
    elsewhere = log.rename(tmp_path / "run-7.csv")
    assert bench("jot", "trial", "load run", "pass", "log", str(elsewhere), "limit", SPOT).status == 2
    assert not log.with_name("run-7.csv").exists()
