"""`jobkit heat`: from a CSV file to a verdict, with a book and without."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.books import BENCH, EXAMPLE, JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.reckon.heat.curves import SOUND, through
from tests.schema.schemas import fast

PAGES: dict[str, tuple[object, ...]] = {
    "heat-26-80.txt": ("26",),
    "heat-26-200.txt": ("26",),
    "heat-26.md": ("26", "--format", "markdown"),
    "heat-47.json": ("47", "--format", "json"),
    "heat-34-80.txt": ("34",),
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
    ran = run("heat", *words, "--book", EXAMPLE)
    assert ran.err == ""
    golden(name, ran.out)


def a_log(path: Path, *, header: str = "time,t1 (°C),t2 (°C)", hotter: float = 0.0) -> Path:
    rows = [f"{time:g},{value + hotter:.1f},{value - 4:.1f}" for time, value in through(SOUND)]
    path.write_text("\n".join([header, *rows]) + "\n", "utf-8")
    return path


PLACES = ("--probe", "t1=U5 body top", "--probe", "t2=U5 joint")


@pytest.mark.parametrize(
    ("options", "status", "verdict"),
    [
        ((*PLACES, "--alloy", "SAC305", "--classified", "250"), 0, "in"),
        ((*PLACES, "--alloy", "SAC305", "--classified", "U5=250 °C"), 0, "in"),
        ((*PLACES, "--alloy", "SAC305", "--classified", "235"), 1, "out"),
        ((*PLACES, "--alloy", "SAC305", "--classified", "241", "--accuracy", "3 °C"), 1, "near"),
        ((*PLACES, "--alloy", "SAC305"), 1, None),
        ((*PLACES, "--classified", "250"), 1, None),
        (("--probe", "t2=U5 joint", "--alloy", "SAC305"), 1, None),
        ((), 1, None),
        (("--probe", "t1=U5 body top", "--probe", "t2=board edge", "--classified", "250"), 0, "in"),
        (("--probe", "t1=air", "--probe", "t2=board edge"), 1, None),
        (
            (
                "--probe",
                "t1=u5 body top",
                "--probe",
                "t2=u5 joint",
                "--alloy",
                "SAC305",
                "--classified",
                "250",
            ),
            0,
            "in",
        ),
        (
            (
                "--probe",
                "t1=u55 body top",
                "--probe",
                "t2=u5 joint",
                "--alloy",
                "SAC305",
                "--classified",
                "250",
            ),
            1,
            None,
        ),
        (
            (
                "--probe",
                "t1=board edge",
                "--probe",
                "t2=U5 joint",
                "--alloy",
                "SAC305",
                "--classified",
                "250",
            ),
            1,
            None,
        ),
        ((*PLACES, "--classified", "250", "--did", "remove"), 1, None),
    ],
    ids=[
        "in",
        "by part",
        "out",
        "near",
        "no rating",
        "no solder",
        "place unknown",
        "nothing",
        "board",
        "elsewhere",
        "lower case",
        "lower case of another part",
        "nothing at the body top",
        "a removal without a solder",
    ],
)
def test_the_exit_status_is_that_of_the_verdict(
    run: Run,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...],
    status: int,
    verdict: str | None,
) -> None:
    monkeypatch.chdir(tmp_path)
    a_log(tmp_path / "heat.csv")
    ran = run("heat", "heat.csv", *options, "--format", "json")
    assert (ran.status, ran.data["verdict"], ran.err) == (status, verdict, "")
    assert fast("answers/heat").is_valid(ran.data)


def test_a_place_that_is_not_told_is_said_to_be_unknown(run: Run, tmp_path: Path) -> None:
    ran = run("heat", a_log(tmp_path / "heat.csv"), "--probe", "t2=U5 joint", "--alloy", "SAC305")
    assert "Not checked: t1: place unknown; U5 body top: nothing was measured there." in ran.out


def test_fahrenheit_for_all_columns(run: Run, tmp_path: Path) -> None:
    log = tmp_path / "heat.csv"
    rows = [f"{time:g},{value * 1.8 + 32:.1f}" for time, value in through(SOUND)]
    log.write_text("\n".join(["time,t1", *rows]), "utf-8")
    words = ("heat", log, "--probe", "t1=U5 body top", "--classified", "250", "--format", "json")
    assert run(*words, "--unit", "°F").data["columns"]["t1"]["peak_c"] == pytest.approx(240, abs=0.1)
    assert run(*words).data["verdict"] == "out"


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["nothing.csv"], "nothing.csv is not a file, and there is no book here to look for a job in"),
        (["."], ". is not a file; name a log, as CSV"),
        (["one.csv"], "one.csv: the log has 1 row, too few to show a heating"),
        (
            ["back.csv"],
            "back.csv line 4: the time goes back by 10 s; cut the log in two there, or correct its times",
        ),
        (["heat.csv", "--probe", "t1"], '--probe cannot be "t1"; write it like "t1=U5 joint"'),
        (
            ["heat.csv", "--probe", "t1=U5 joint", "--probe", "T1=U5 body top"],
            "--probe names T1 twice; name each column once",
        ),
        (["heat.csv", "--classified", "warm"], '"warm"'),
        (["heat.csv", "--accuracy", "much"], '"much"'),
        (["heat.csv", "--window", "0"], "--window cannot be 0; give seconds, from 1 to 600"),
    ],
    ids=["none", "folder", "one row", "back", "probe", "probe twice", "rating", "accuracy", "window"],
)
def test_bad_input_gets_one_clear_line(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], message: str
) -> None:
    monkeypatch.chdir(tmp_path)
    a_log(tmp_path / "heat.csv")
    (tmp_path / "one.csv").write_text("time,t1\n0,25\n")
    (tmp_path / "back.csv").write_text("time,t1\n0,25\n20,26\n10,27\n")
    ran = run("heat", *words)
    assert ran.status == 2
    assert message in ran.err
    assert ran.err.count("\n") == 1
    assert ran.out == ""


def test_a_job_without_a_log_says_what_to_write(run: Run) -> None:
    ran = run("heat", "30", "--book", EXAMPLE)
    assert ran.status == 2
    assert ran.err == (
        'jobkit: no work of 30 names a thermocouple log; write heat = "heat.csv" under its [[work]], or name the file\n'
    )


def test_what_bench_toml_keeps_is_used(run: Run, tmp_path: Path) -> None:
    """Own headings and units, an own window for the solder, an own limit for packages."""
    work = (
        '[[work]]\nat = 2026-10-09T11:00:00\ndid = "fit"\npart = "U1"\nalloy = "SAC305"\nheat = "heat.csv"\n'
    )
    probe = 'probe = { under = "U1 joint" }\n'
    own = '[heat.alloy.SAC305]\npeak = "238 °C .. 250 °C"\n[logs.heat]\ncolumns = { time = "Ticks", under = "T1" }\n'
    rows = "".join(f"{time:g},{value - 4:.1f}\n" for time, value in through(SOUND))
    folder = JOB_PATH.removesuffix(".toml")
    book = make_book(
        tmp_path,
        {
            JOB_PATH: f"{JOB}\n{work}{probe}",
            "bench.toml": BENCH + own,
            f"{folder}/heat.csv": f"Ticks,T1\n{rows}",
        },
    )
    shown = run("heat", "1", "--book", book, "--format", "json").data
    first = shown["checks"][0]
    assert (first["name"], first["verdict"], first["source"]) == ("peak", "out", "bench.toml")


def test_a_log_of_another_day_is_told(run: Run, tmp_path: Path) -> None:
    work = (
        '[[work]]\nat = 2026-10-09T11:00:00\ndid = "fit"\npart = "U1"\nalloy = "SAC305"\nheat = "heat.csv"\n'
    )
    rows = [
        f"2026-10-13T11:{int(time) // 60:02}:{int(time) % 60:02},{value:.1f}"
        for time, value in through(SOUND)
    ]
    log = "\n".join(["time,t1 (°C)", *rows])
    folder = JOB_PATH.removesuffix(".toml")
    book = make_book(tmp_path, {JOB_PATH: f"{JOB}\n{work}", "bench.toml": BENCH, f"{folder}/heat.csv": log})
    shown = " ".join(run("heat", "1", "--book", book, "--probe", "t1=U1 joint").out.split())
    assert "The log was begun on 2026-10-13, and the work on 2026-10-09" in shown


@pytest.mark.parametrize(
    ("hotter", "said"),
    [(0.0, "    log: within\n"), (-30.0, "    log: outside: U1 joint peak 206.0 °C, limit >= 230 °C;")],
    ids=["in", "cold joint"],
)
def test_jot_copies_the_log_and_says_the_verdict(run: Run, tmp_path: Path, hotter: float, said: str) -> None:
    log = tmp_path / "mine.csv"
    rows = [f"{time:g},{value - 4 + hotter:.1f},{value + hotter:.1f}" for time, value in through(SOUND)]
    log.write_text("\n".join(["time,t1 (°C),t2 (°C)", *rows]), "utf-8")
    design = 'format = 1\ndesign = "alder-a1"\nkind = "graphics card"\n'
    design += '[[package]]\npart = "U1"\nclassified = "250 °C"\n'
    files = {JOB_PATH: JOB, "bench.toml": BENCH, "boards/alder-a1.toml": design}
    book = make_book(tmp_path / "book", files)
    places = "t1=U1 joint,t2=U1 body top"
    words = ("work", "reflow", "U1", "alloy", "SAC305", "heat", log, "probe", places)
    assert run("on", "1", "--book", book).status == 0
    ran = run("jot", *words, "--book", book)
    assert said in ran.out
    assert (book / JOB_PATH.removesuffix(".toml") / "mine.csv").read_bytes() == log.read_bytes()
    alone = run("jot", *words[:-1], "t1=U1 joint,t2=board edge", "--as-is", "--book", book).out
    assert hotter or "    log: not checked: U1 body top: nothing was measured there\n" in alone
    empty = tmp_path / "empty.csv"
    empty.write_text("")
    before = (book / JOB_PATH).read_bytes()
    refused = run("jot", "work", "reflow", "U1", "heat", empty, "--book", book)
    assert (refused.status, (book / JOB_PATH).read_bytes()) == (2, before)
    assert "the log is empty; correct the log, or leave it out" in refused.err


def test_jot_says_what_to_type_for_a_log_without_places_and_leaves_no_folder(
    run: Run, tmp_path: Path
) -> None:
    log = tmp_path / "mine.csv"
    rows = [f"{time:g},{value - 4:.1f},{value:.1f}" for time, value in through(SOUND)]
    log.write_text("\n".join(["time,t1 °C,t2 (top) °C", *rows]), "utf-8")
    book = make_book(tmp_path / "book", {JOB_PATH: JOB, "bench.toml": BENCH})
    words = ("jot", "work", "reflow", "U1", "alloy", "SAC305", "heat", log)
    assert run("on", "1", "--book", book).status == 0
    places = "t1=U1 joint,t2 (top)=U1 body top"
    for refused, said in (
        (run(*words, "--book", book), places),
        (run(*words, "probe", "t1=U1 ball", "--book", book), "t1=U1 ball,t2 (top)=U1 body top"),
    ):
        assert refused.status == 2
        assert f'add the places, as in `probe "{said}"`, or use --as-is' in refused.err
        assert not (book / JOB_PATH.removesuffix(".toml")).exists()
    taken = run(*words, "probe", places, "--book", book)
    assert taken.status == 0, taken.err
    assert (book / JOB_PATH.removesuffix(".toml") / "mine.csv").exists()


def test_a_log_of_a_book_that_is_too_large_is_said_everywhere(run: Run, tmp_path: Path) -> None:
    """Ten million rows are some 200 MB; of a file of the book no more than 16 MB are read."""
    work = '[[work]]\nat = 2026-10-09T11:00:00\ndid = "fit"\npart = "U1"\nheat = "heat.csv"\n'
    book = make_book(tmp_path / "book", {JOB_PATH: f"{JOB}\n{work}", "bench.toml": BENCH})
    folder = book / JOB_PATH.removesuffix(".toml")
    folder.mkdir()
    (folder / "heat.csv").write_bytes(b"time,t1\n" + b"0.1,25.0\n" * 1_800_000)
    why = "heat.csv is larger than 16 MB, and jobkit reads no more of one file"
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    (found,) = [one for one in findings if one["rule"] == "heat-log-unlike"]
    assert why in found["message"]
    shown = run("show", "1", "--book", book, "--on", "2026-11-20").out
    assert why in " ".join(shown.split())
    large = tmp_path / "large.csv"
    large.write_bytes((folder / "heat.csv").read_bytes())
    assert run("on", "1", "--book", book).status == 0
    before = (book / JOB_PATH).read_bytes()
    refused = run("jot", "work", "reflow", "U1", "alloy", "SAC305", "heat", large, "--book", book)
    assert (refused.status, (book / JOB_PATH).read_bytes()) == (2, before)
    assert "large.csv is larger than 16 MB" in refused.err
    assert not (folder / "large.csv").exists()


@pytest.mark.parametrize("columns", [80, 100, 200])
def test_no_line_is_wider_than_the_terminal(run: Run, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for job in ("26", "47", "34"):
        assert max(map(len, run("heat", job, "--book", EXAMPLE).out.split("\n"))) <= columns
