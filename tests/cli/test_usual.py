"""`jobkit usual`: what good boards read, followed by hand from the jobs it lists."""

from __future__ import annotations

import csv
import io
import re
import shutil
import tomllib
from datetime import date, datetime
from pathlib import Path
from statistics import fmean, median, stdev
from typing import Any

import pytest

from tests.books import EXAMPLE, make_book
from tests.conftest import Run
from tests.schema.schemas import fast

DAY = "2026-11-20"
COMMONEST = "tarnhow-t7-16"


def _points(run: Run, *words: str | Path) -> list[dict[str, Any]]:
    ran = run("usual", *words, "--on", DAY, "--format", "json")
    assert (ran.status, ran.err) == (0, "")
    assert fast("answers/usual").is_valid(ran.data)
    points: list[dict[str, Any]] = ran.data["points"]
    return points


def _by_hand(ids: list[str]) -> dict[tuple[Any, ...], dict[str, float]]:
    """Look up the last proof readings of the jobs listed, with a parser and a reckoning of the test's own."""
    found: dict[tuple[Any, ...], dict[str, float]] = {}
    for path in sorted(EXAMPLE.glob("jobs/*/*.toml")):
        job = tomllib.loads(path.read_text("utf-8"))
        if job["id"] in ids:
            last: dict[tuple[Any, ...], tuple[datetime, float]] = {}
            for one in job.get("reading", ()):
                if one.get("stage") == "proof":
                    manner = tuple(one.get(part) for part in ("point", "kind", "to", "red_on", "state"))
                    number, unit = one["value"].split()
                    value = float(number) * {"m": 1e-3, "k": 1e3, "M": 1e6}.get(unit[0], 1.0)
                    value -= 0.12 if one["meter"] == "dmm-1" else 0  # its leads are in the reading
                    if manner not in last or last[manner][0] <= one["at"]:
                        last[manner] = one["at"], value
            for manner, (_, value) in last.items():
                found.setdefault(manner, {})[job["id"]] = value
    return found


def _good_jobs() -> list[str]:
    """List the jobs of the commonest design that count, from their files."""
    jobs = [tomllib.loads(path.read_text("utf-8")) for path in sorted(EXAMPLE.glob("jobs/*/*.toml"))]
    back = {
        job["comeback"]["of"]: job for job in jobs if job.get("comeback", {}).get("found") == "same-fault"
    }
    return [
        job["id"]
        for job in jobs
        if job["board"].get("design") == COMMONEST
        and job.get("outcome") in {"repaired", "no-fault-found"}
        and job["dates"].get("finished", date.max) <= date.fromisoformat(DAY)
        and job["id"] not in back
    ]


def test_every_row_of_the_commonest_design_can_be_followed_by_hand(run: Run) -> None:
    points = _points(run, COMMONEST, "--book", EXAMPLE)
    by_hand = _by_hand(_good_jobs())
    rows = [row for row in points if row["n"]]
    assert len(rows) == len(by_hand) >= 15
    for row in rows:
        manner = row["manner"]
        values = by_hand[row["point"], manner["kind"], manner["to"], manner["red_on"], manner["state"]]
        assert row["jobs"] == sorted(values)
        numbers = list(values.values())
        assert row["n"] == len(numbers)
        assert row["mean"] == pytest.approx(fmean(numbers), rel=1e-9)
        assert row["median"] == pytest.approx(median(numbers))
        assert (row["lowest"], row["highest"]) == pytest.approx((min(numbers), max(numbers)))
        if len(numbers) > 1:
            assert row["sd"] == pytest.approx(stdev(numbers), rel=1e-9)
        if len(numbers) >= 4:
            # n 19: exact factor 2.7925; Berthouex and Brown, table 21.1, has 2.76 for n 20 and 3.39 for n 10
            reach = row["interval"]["factor"] * stdev(numbers)
            ends = (row["interval"]["low"], row["interval"]["high"])
            assert ends == pytest.approx((fmean(numbers) - reach, fmean(numbers) + reach), rel=1e-9)
        n = len(numbers)
        assert row["range_confidence"] == pytest.approx(
            1 - n * 0.95 ** (n - 1) + (n - 1) * 0.95**n, abs=1e-12
        )


def test_the_page_of_a_point_lists_every_reading_and_the_sum(run: Run) -> None:
    page = run("usual", COMMONEST, "--point", "VMEM", "--on", DAY, "--book", EXAMPLE).out
    block = page.split("VMEM resistance, cold\njob")[1].split("VMEM voltage")[0]
    values = [float(value) for value in re.findall(r"^K26-\d+ .* ([\d.]+) Ω *$", block, re.MULTILINE)]
    assert len(values) == 19
    said = re.search(
        r"n = 19; mean ([\d.]+), sd ([\d.]+); .* ± ([\d.]+) × .* = ([\d.]+) \.\. ([\d.]+) Ω", block
    )
    assert said is not None
    mean, sd, k, low, high = map(float, said.groups())
    assert mean == pytest.approx(fmean(values), abs=5e-5)
    assert sd == pytest.approx(stdev(values), abs=5e-5)
    assert [low, high] == pytest.approx([mean - k * sd, mean + k * sd], abs=0.006)


def test_a_spreadsheet_gets_figures_or_each_reading(run: Run) -> None:
    words = ("usual", COMMONEST, "--on", DAY, "--book", EXAMPLE, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(run(*words).out)))
    (vmem,) = [row for row in rows if (row["point"], row["reading"]) == ("VMEM", "resistance, cold")]
    assert (vmem["unit"], vmem["n"], vmem["lowest"], vmem["highest"]) == ("Ω", "19", "22.19", "24.27")
    each = list(csv.DictReader(io.StringIO(run(*words, "--point", "VMEM").out)))
    assert sum(row["reading"] == "resistance, cold" for row in each) == 19
    assert {row["job"] for row in each} == set(_good_jobs())


def test_what_is_dated_later_is_not_known_yet(run: Run) -> None:
    early = run("usual", COMMONEST, "--on", "2026-07-15", "--book", EXAMPLE, "--format", "json").data
    (vmem,) = [
        row for row in early["points"] if row["point"] == "VMEM" and row["manner"]["kind"] == "resistance"
    ]
    # K25-0213 counted until its comeback was looked into, on 8 September; K26-0016 was beyond repair.
    assert vmem["jobs"] == ["K25-0213", "K26-0014", "K26-0017"]
    assert vmem["interval"] is None
    before = run("usual", COMMONEST, "--on", "2020-01-01", "--book", EXAMPLE, "--format", "json").data
    assert {row["n"] for row in before["points"]} == {0}


def test_screened_readings_are_named(run: Run) -> None:
    (row,) = [
        one
        for one in _points(run, COMMONEST, "--drop-outliers", "--book", EXAMPLE)
        if one["point"] == "VCORE" and one["manner"]["kind"] == "voltage"
    ]
    assert (row["n"], row["outliers"]) == (18, ["K26-0050"])


def test_write_proposes_into_the_board_file_and_a_second_run_changes_nothing(
    run: Run, tmp_path: Path
) -> None:
    book = Path(shutil.copytree(EXAMPLE, tmp_path / "book"))
    board = book / "boards" / f"{COMMONEST}.toml"
    before = board.read_text("utf-8")
    block = '[[point.limit]]\nkind  = "resistance"\nstate = "cold"\nlimit = "10 Ω .. 60 Ω"\n\n'
    board.write_text(before.replace(block, "", 1), "utf-8")
    ran = run("usual", COMMONEST, "--write", "--on", DAY, "--book", book)
    assert ran.status == 0
    assert "VMEM resistance, cold" in ran.out
    assert "a new limit" in ran.out
    written = board.read_text("utf-8")
    assert 'limit = "21.63 Ω .. 25.03 Ω"\n# usual of 19 boards, 2026-11-20: 21.63 Ω .. 25.03 Ω\n' in written
    assert 'limit = "0.25 Ω .. 1.2 Ω"\n# usual of 19 boards, 2026-11-20: 0.331 Ω .. 0.408 Ω\n' in written
    assert run("usual", COMMONEST, "--write", "--on", DAY, "--book", book).status == 0
    assert board.read_text("utf-8") == written
    assert run("lint", "--book", book).status == 0


def test_a_proposed_limit_is_the_one_readings_are_held_to(run: Run, tmp_path: Path) -> None:
    book = Path(shutil.copytree(EXAMPLE, tmp_path / "book"))
    board = book / "boards" / f"{COMMONEST}.toml"
    block = '[[point.limit]]\nkind  = "resistance"\nstate = "cold"\nlimit = "10 Ω .. 60 Ω"\n\n'
    board.write_text(board.read_text("utf-8").replace(block, "", 1), "utf-8")
    run("usual", COMMONEST, "--write", "--point", "VMEM", "--on", DAY, "--book", book)
    readings = run("show", "47", "--on", DAY, "--book", book, "--format", "json").data["readings"]
    (proof,) = [
        one
        for one in readings
        if (one["point"], one["stage"], one["kind"]) == ("VMEM", "proof", "resistance")
    ]
    assert (proof["limit"], proof["verdict"]) == ("21.63 Ω .. 25.03 Ω", "in")


MISUSE = {
    "unknown design": (("usual", "tornhow-t7-16"), "tarnhow-t7-16"),
    "unknown point": (("usual", COMMONEST, "--point", "VMEN"), "VMEM"),
    "a revision cannot be written": (("usual", COMMONEST, "--write", "--rev", "HEAD"), "--write"),
}


@pytest.mark.parametrize(("words", "told"), MISUSE.values(), ids=MISUSE)
def test_misuse_is_one_line(run: Run, words: tuple[str, ...], told: str) -> None:
    ran = run(*words, "--on", DAY, "--book", EXAMPLE)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.count("\n") == 1
    assert told in ran.err


def test_a_design_without_a_board_file_can_be_learned_but_not_written(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path, {"boards/alder-a1.toml": None})
    ran = run("usual", "alder-a1", "--on", DAY, "--book", book, "--format", "json")
    assert [row["n"] for row in ran.data["points"]] == [1]
    refused = run("usual", "alder-a1", "--write", "--on", DAY, "--book", book)
    assert refused.status == 2
    assert "boards/alder-a1.toml" in refused.err


def test_a_board_file_without_a_good_board_is_no_fault(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path, {"jobs/2026/K26-0001.toml": None})
    ran = run("usual", "alder-a1", "--on", DAY, "--book", book)
    assert (ran.status, ran.err) == (0, "")
    assert "No readings yet: VMEM resistance, cold." in ran.out
    assert run("usual", "alder-a1", "--on", DAY, "--write", "--book", book).status == 0
