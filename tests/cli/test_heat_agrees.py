"""Lint, `heat`, `show` and the report say the same of a board that was heated to 262 °C five times."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import BENCH, JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.reckon.heat.curves import through

HOT = ((0, 25), (125, 150), (215, 200), (277, 262), (280, 262), (380, 60))
FOLDER = JOB_PATH.removesuffix(".toml")
TIMES = 5


@pytest.fixture
def book(tmp_path: Path) -> Path:
    log = "".join(f"{time:g},{value:.1f},{value - 18:.1f}\n" for time, value in through(HOT))
    work = "".join(
        f'\n[[work]]\nat = 2026-10-08T{8 + hour:02}:00:00\ndid = "reflow"\npart = "U1"\nalloy = "SAC305"\n'
        f'heat = "heat-{hour}.csv"\nprobe = {{ t1 = "U1 body top", t2 = "U1 joint" }}\n'
        for hour in range(TIMES)
    )
    design = 'format = 1\ndesign = "alder-a1"\nkind = "graphics card"\n'
    design += '[[package]]\npart = "U1"\nclassified = "250 °C"\n'
    logs = {f"{FOLDER}/heat-{hour}.csv": f"time,t1 (°C),t2 (°C)\n{log}" for hour in range(TIMES)}
    files = {
        JOB_PATH: JOB + work,
        "boards/alder-a1.toml": design,
        "bench.toml": f"{BENCH}\n[heat]\ncycles = 2\n",
    }
    return make_book(tmp_path, {**files, **logs})


def test_lint_finds_each_and_that_they_are_too_many(run: Run, book: Path) -> None:
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    outside = [one for one in findings if one["rule"] == "heat-outside"]
    assert [one["about"] for one in outside] == ["U1 body top peak"] * TIMES
    assert all("262.0 °C, limit <= 250 °C" in one["message"] for one in outside)
    (cycles,) = [one for one in findings if one["rule"] == "heat-cycles"]
    assert "U1 has seen 5 bench heatings above liquidus" in cycles["message"]
    assert "the bench allows 2" in cycles["message"]


def test_lint_proposes_another_place_for_each_thermocouple_without_one(run: Run, book: Path) -> None:
    path = book / JOB_PATH
    text = path.read_text("utf-8")
    path.write_text(text.replace('probe = { t1 = "U1 body top", t2 = "U1 joint" }\n', "", 1), "utf-8")
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    assert [one["mend"] for one in findings if one["rule"] == "place-unknown"] == [
        'write it like probe = { t1 = "U1 joint" }',
        'write it like probe = { t2 = "U1 body top" }',
    ]


def test_heat_show_and_the_report_agree(run: Run, book: Path) -> None:
    heat = run("heat", "1", "--book", book, "--format", "json")
    assert (heat.status, heat.data["verdict"]) == (1, "out")
    words = ("--book", book, "--on", "2026-11-20", "--format", "json")
    show, report = run("show", "1", *words).data, run("report", "1", *words).data
    for told in (show["heatings"], report["heatings"]):
        assert [one["verdict"] for one in told] == ["out"] * TIMES
        out = [check["value"]["text"] for one in told for check in one["checks"] if check["verdict"] == "out"]
        assert out == ["262.0 °C"] * TIMES
    (cycles,) = show["heat_cycles"]
    assert (cycles["part"], cycles["package"], cycles["place"], cycles["allowed"]) == ("U1", 5, 5, 2)


def test_they_agree_on_a_joint_alone(run: Run, book: Path) -> None:
    """Where nothing was measured at the top of the body, none of them gives a verdict, and each says why."""
    path = book / JOB_PATH
    text = (
        path.read_text("utf-8").replace("reflow", "fit", 1).replace('t1 = "U1 body top"', 't1 = "board edge"')
    )
    path.write_text(text.partition("heat-1.csv")[0].rpartition("\n[[work]]")[0], "utf-8")
    words = ("1", "--book", book, "--format", "json")
    heat = run("heat", *words)
    assert (heat.status, heat.data["verdict"]) == (1, None)
    show, report = (run(name, *words, "--on", "2026-11-20").data["heatings"] for name in ("show", "report"))
    unchecked = {"place": "U1 body top", "why": "nothing was measured there", "verdict": None}
    for checks in (heat.data["checks"], show[0]["checks"], report[0]["checks"]):
        assert any(unchecked.items() <= check.items() for check in checks)
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    (found,) = [one for one in findings if one["rule"] == "heat-log-unlike"]
    assert (found["level"], found["about"]) == ("note", "U1 body top")
    assert "nothing was measured there" in found["message"]
