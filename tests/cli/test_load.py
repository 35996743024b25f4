"""`jobkit load`: from a CSV file to a verdict, with a book and without."""

from __future__ import annotations

from collections.abc import Callable
from math import exp
from pathlib import Path

import pytest

from tests.books import BENCH, EXAMPLE, JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.schema.schemas import fast

GOOD = EXAMPLE / "jobs/2026/K26-0038/load.csv"
HOT = EXAMPLE / "jobs/2026/K26-0038/load-arrival.csv"

PAGES: dict[str, tuple[object, ...]] = {
    "load-47-80.txt": ("47",),
    "load-47-200.txt": ("47",),
    "load-47.md": ("47", "--format", "markdown"),
    "load-47.json": ("47", "--format", "json"),
    "load-compared-80.txt": (HOT, GOOD),
    "load-compared-200.txt": (HOT, GOOD),
    "load-hot-80.txt": (HOT,),
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
    monkeypatch.setenv("COLUMNS", width if width.isdecimal() else "100")
    ran = run("load", *words, "--book", EXAMPLE)
    assert ran.err == ""
    golden(name, ran.out)


def a_log(
    path: Path, end: float = 86.0, minutes: int = 30, header: str = "time,hot spot (°C),power (W),fan (rpm)"
) -> Path:
    rows = [
        f"{20 * row},{end - (end - 24) * exp(-20 * row / 140):.1f},{230 if row else 18},{1650}"
        for row in range(3 * minutes + 1)
    ]
    path.write_text("\n".join([header, *rows]) + "\n", "utf-8")
    return path


@pytest.mark.parametrize(
    ("limits", "status", "verdict"),
    [
        ([], 0, None),
        (["hot spot <= 95 °C"], 0, "in"),
        (["hot spot = <= 95 °C", "power = 230 W +/- 10 %"], 0, "in"),
        (["Hot-Spot<=85 °C"], 1, "out"),
        (["hot spot over ambient <= 65 °C"], 0, "in"),
        (["hot spot over ambient <= 60 K"], 1, "out"),
        (["hot spot <= 95 °C", "memory <= 95 °C"], 1, None),
        (["hot spot <= 95 V"], 1, None),
    ],
    ids=["none", "in", "two", "out", "rise", "rise in K", "no such sensor", "other unit"],
)
def test_the_exit_status_is_that_of_the_verdict(
    run: Run, tmp_path: Path, limits: list[str], status: int, verdict: str | None
) -> None:
    log = a_log(tmp_path / "load.csv")
    options = [word for limit in limits for word in ("--limit", limit)]
    ran = run("load", log, *options, "--ambient", "22", "--format", "json")
    assert (ran.status, ran.data["verdict"]) == (status, verdict)
    assert fast("answers/load").is_valid(ran.data)


def test_a_log_alone_needs_no_book(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    a_log(tmp_path / "load.csv")
    ran = run("load", "load.csv")
    assert ran.status == 0
    assert "Not checked: there are no limits to check it against." in ran.out


def test_the_accuracy_of_a_sensor_makes_near(run: Run, tmp_path: Path) -> None:
    words = ("load", a_log(tmp_path / "load.csv"), "--limit", "hot spot <= 87 °C", "--format", "json")
    assert run(*words).data["verdict"] == "in"
    near = run(*words, "--accuracy", "hot spot = 2 °C")
    assert (near.status, near.data["verdict"]) == (1, "near")
    assert near.data["checks"][0]["uncertainty"]["value"] == pytest.approx(2 * 2 / 3**0.5)


def test_a_unit_may_be_told(run: Run, tmp_path: Path) -> None:
    log = a_log(tmp_path / "load.csv", end=186.8, header="time,quux,power,fan")
    hottest = run("load", log, "--unit", "quux = °F", "--format", "json").data["sensors"]["quux"]["hottest"]
    assert hottest["text"] == "86.0 °C"


def test_figures_of_the_curve_behind_a_log_come_back(run: Run, tmp_path: Path) -> None:
    spot = run("load", a_log(tmp_path / "load.csv"), "--ambient", "24", "--format", "json").data["sensors"][
        "hot spot"
    ]
    assert spot["settled"]["value"] == pytest.approx(86, abs=0.05)
    assert spot["time_constant_s"] == pytest.approx(140, rel=0.01)
    assert spot["per_watt"] == pytest.approx((86 - 24) / 230, rel=0.002)
    assert abs(spot["drift_per_hour"]["value"]) < 0.5


def test_two_runs_in_different_rooms_are_compared_over_their_rooms(run: Run, tmp_path: Path) -> None:
    before, after = a_log(tmp_path / "before.csv", 95), a_log(tmp_path / "after.csv", 86)
    words = ("load", before, after, "--ambient", "26", "--ambient", "21", "--format", "json")
    data = run(*words).data
    spot = data["compared"][0]
    assert spot["settled"]["difference"] == pytest.approx(-9, abs=0.1)
    assert spot["rise"]["difference"] == pytest.approx(-4, abs=0.1)
    assert (data["log"], data["before"]["log"]) == ("after.csv", "before.csv")


def test_a_log_in_a_job_s_folder_is_checked_against_the_limits_of_its_trial(run: Run) -> None:
    data = run("load", HOT, "--format", "json").data
    assert data["limits_from"] == "K26-0038, load run of 2026-09-23 14:20"
    assert (data["verdict"], data["room"]["text"]) == ("out", "21 °C")
    other = run("load", HOT, "--limit", "core <= 99 °C", "--format", "json").data
    assert other["limits_from"] == "--limit"


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["nothing.csv"], "nothing.csv is not a file, and there is no book here to look for a job in; check the name"),
        (["."], ". is not a file; name a log, as CSV"),
        (["load.csv", "--limit", "hot spot"], '--limit cannot be "hot spot"; write it like "hot spot <= 95 °C"'),
        (["load.csv", "--limit", "hot spot <= 95"], 'in the limit "<= 95": "95" has no unit'),
        (["load.csv", "--accuracy", "core = much"], '"much" is not an accuracy; write it like "2 °C" or "3 %"'),
        (["load.csv", "--ambient", "22", "--ambient", "23"], "there are more temperatures of the room than logs"),
        (["load.csv", "--ambient", "warm"], '"warm"'),
        (["load.csv", "--dip", "120"], "--dip cannot be 120; give a share of the median in percent, such as 80"),
        (["empty.csv"], "empty.csv: the log is empty; check how it was saved"),
        (["back.csv"], "back.csv line 4: the time goes back by 10 s; cut the log in two there, or correct its times"),
        (["picture.csv"], "picture.csv: the log is not a text file; export it as CSV"),
    ],
)  # fmt: skip
def test_bad_input_gets_one_clear_line(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], message: str
) -> None:
    monkeypatch.chdir(tmp_path)
    a_log(tmp_path / "load.csv")
    (tmp_path / "empty.csv").write_text("")
    (tmp_path / "back.csv").write_text("time,core\n0,25\n20,26\n10,27\n")
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x04\0")
    ran = run("load", *words)
    assert ran.status == 2
    assert message in ran.err
    assert ran.err.count("\n") == 1
    assert ran.out == ""


def test_a_job_without_a_log_says_what_to_write(run: Run) -> None:
    ran = run("load", "30", "--book", EXAMPLE)
    assert ran.status == 2
    assert ran.err == (
        'jobkit: no trial of 30 names a log; write log = "load.csv" under its [[trial]], or name the file\n'
    )


@pytest.mark.parametrize("columns", [80, 100, 200])
def test_no_line_is_wider_than_the_terminal(run: Run, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for words in ((HOT,), (GOOD,), (HOT, GOOD)):
        assert max(map(len, run("load", *words).out.split("\n"))) <= columns


ODD = "Ticks;T1;T2\n" + "".join(f"{10 * row};{185 if row else 75},0;230\n" for row in range(13))


def test_a_log_with_other_headings_is_read_by_options(run: Run, tmp_path: Path) -> None:
    log = tmp_path / "load.csv"
    log.write_text(ODD, "utf-8")
    ran = run("load", log)
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert "state which column is time: --column time=HEADING" in ran.err
    ran = run(
        "load", log, "--column", "time=Ticks", "--column", "hot spot=T1", "--unit", "T1=°F",
        "--limit", "hot spot <= 95 °C", "--format", "json",
    )  # fmt: skip
    assert (ran.status, ran.err) == (0, "")
    (check,) = ran.data["checks"]
    assert (check["name"], check["value"]["value"], check["verdict"]) == ("hot spot", 85, "in")


@pytest.mark.parametrize(
    ("column", "said"),
    [
        ("hot spot=T9", 'no column is named "T9", which is stated for hot spot; columns of the log: T1, T2'),
        ("=T1", '--column cannot be "=T1"; write it like "time=HEADING"; names: time and those of sensors'),
        ("hot spot", '--column cannot be "hot spot"'),
    ],
)
def test_a_heading_that_is_not_there(run: Run, tmp_path: Path, column: str, said: str) -> None:
    log = tmp_path / "load.csv"
    log.write_text(ODD, "utf-8")
    ran = run("load", log, "--column", "time=Ticks", "--column", column)
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert said in ran.err


def test_what_bench_toml_keeps_is_used_by_load_and_by_the_rules(run: Run, tmp_path: Path) -> None:
    trial = '[[trial]]\nat = 2026-10-09T11:00:00\nrun = "load run"\nminutes = 2\nresult = "pass"\nlog = "load.csv"\n'
    limit = '[trial.limit]\n"hot spot" = "<= 80 °C"\n'
    habit = '[logs.load]\ncolumns = { time = "Ticks", "hot spot" = "T1" }\nunits = { T1 = "°F" }\n'
    folder = JOB_PATH.removesuffix(".toml")
    book = make_book(
        tmp_path, {JOB_PATH: f"{JOB}\n{trial}{limit}", "bench.toml": BENCH + habit, f"{folder}/load.csv": ODD}
    )
    shown = run("load", "1", "--book", book, "--format", "json").data
    assert [(one["name"], one["verdict"]) for one in shown["checks"]] == [("hot spot", "out")]
    found = run("lint", "--book", book, "--format", "json").data["findings"]
    assert "trial-log-outside" in {one["rule"] for one in found}
