"""Heatings are counted over all stays of a board, whether a comeback names them or not."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import BENCH, JOB, JOB_PATH, make_book
from tests.conftest import Run

LATER = "jobs/2026/K26-0077.toml"


def reflow(day: int, *hours: int, came: str = "") -> str:
    did = "fit" if came else "reflow"
    head = f'did = "{did}"\npart = "U3"\nalloy = "SAC305"\n' + (f'came = "{came}"\n' if came else "")
    return "".join(f"\n[[work]]\nat = 2026-10-{day:02}T{hour:02}:00:00\n{head}" for hour in hours)


def later(more: str) -> str:
    return (
        JOB.replace("K26-0001", "K26-0077").replace("received = 2026-10-05", "received = 2026-10-20") + more
    )


def found(run: Run, tmp_path: Path, first: str, second: str) -> list[str]:
    serial = '\n[board]\nserial = "S-1"'
    text = {JOB_PATH: JOB + first, LATER: later(second), "bench.toml": BENCH}
    files = {
        path: one.replace("\n[board]", serial, 1) if "serial" not in one else one
        for path, one in text.items()
    }
    book = make_book(tmp_path, files)
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    return [f"{one['file']} {one['message']}" for one in findings if one["rule"] == "heat-cycles"]


@pytest.mark.parametrize(
    ("first", "second", "times"),
    [
        (reflow(9, 8, 9), reflow(21, 8), 0),
        (reflow(9, 8, 9), reflow(21, 8, 9), 1),
        (reflow(9, 8, 9), reflow(21, 8, 9, came="new"), 0),
        (reflow(9, 8, 9, 10), "", 0),
    ],
    ids=["three", "four", "new", "not heated again"],
)
def test_stays_that_no_comeback_names(run: Run, tmp_path: Path, first: str, second: str, times: int) -> None:
    messages = found(run, tmp_path, first, second)
    assert len(messages) == times
    assert all("U3 was heated above liquidus 4 times" in one and LATER in one for one in messages)


def test_stays_that_a_comeback_names_are_counted_once(run: Run, tmp_path: Path) -> None:
    named = '\n[comeback]\nof = "K26-0001"\nfound = "same-fault"\n'
    messages = found(run, tmp_path, reflow(9, 8, 9), named + reflow(21, 8, 9))
    assert messages == [f"{LATER} U3 has seen 4 bench heatings above liquidus; the bench allows 3"]
