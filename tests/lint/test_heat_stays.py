"""Heatings are counted over all stays of a board, whether a comeback names them or not."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import BENCH, JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.reckon.heat.curves import SOUND, through

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
    return cycles(run, laid(tmp_path, first, second))


def laid(tmp_path: Path, first: str, second: str) -> Path:
    """Lay out a book with two stays of one board."""
    serial = '\n[board]\nserial = "S-1"'
    text = {JOB_PATH: JOB + first, LATER: later(second), "bench.toml": BENCH}
    files = {
        path: one.replace("\n[board]", serial, 1) if "serial" not in one else one
        for path, one in text.items()
    }
    return make_book(tmp_path, files)


def cycles(run: Run, book: Path) -> list[str]:
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    return [f"{one['file']} {one['message']}" for one in findings if one["rule"] == "heat-cycles"]


TWICE = (
    (0, 25),
    (120, 150),
    (200, 200),
    (240, 240),
    (260, 230),
    (320, 150),
    (420, 240),
    (440, 235),
    (520, 60),
)
COUNTED = "U3 has seen {} bench heatings above liquidus; the bench allows 3 (counted over K26-0001, K26-0077)"
NAMED = '\n[comeback]\nof = "K26-0001"\nfound = "same-fault"\n'


@pytest.mark.parametrize("link", ["", NAMED], ids=["no comeback", "comeback"])
@pytest.mark.parametrize(
    ("first", "second", "times"),
    [
        (reflow(9, 8, 9), reflow(21, 8), 0),
        (reflow(9, 8, 9), reflow(21, 8, 9), 4),
        (reflow(9, 8, 9), reflow(21, 8, 9, came="new"), 0),
        (reflow(9, 8, 9, 10), "", 0),
        (reflow(9, 8, 9), reflow(21, 8, 9, 10, 11), 6),
    ],
    ids=["three", "four", "new", "not heated again", "six"],
)
def test_stays_are_counted_whether_a_comeback_names_them_or_not(
    run: Run, tmp_path: Path, link: str, first: str, second: str, times: int
) -> None:
    messages = found(run, tmp_path, first, link + second)
    assert messages == ([f"{LATER} {COUNTED.format(times)}"] if times else [])


LOG = 'heat = "heat.csv"\nprobe = { t1 = "U3 joint" }\n'


def put_log(book: Path, corners: Sequence[tuple[float, float]]) -> None:
    """Write the log of the first stay."""
    folder = book / JOB_PATH.removesuffix(".toml")
    folder.mkdir(exist_ok=True)
    rows = "".join(f"{time:g},{value:.1f}\n" for time, value in through(corners))
    (folder / "heat.csv").write_text(f"time,t1 (°C)\n{rows}", "utf-8")


@pytest.mark.parametrize("link", ["", NAMED], ids=["no comeback", "comeback"])
def test_lint_and_show_count_what_logs_show_in_every_stay(run: Run, tmp_path: Path, link: str) -> None:
    """One reflow melted the solder twice, by its log, in a stay that is not the one that is checked."""
    book = laid(tmp_path, reflow(9, 8) + LOG, link + reflow(21, 8, 9))
    put_log(book, TWICE)
    assert cycles(run, book) == [f"{LATER} {COUNTED.format(4)}"]
    (shown,) = run("show", "77", "--book", book, "--on", "2026-11-20", "--format", "json").data["heat_cycles"]
    assert (shown["package"], shown["place"]) == (4, 4)
    assert [one["times"] for one in shown["heatings"]] == [2, 1, 1]


def test_what_is_kept_holds_while_the_logs_of_other_stays_are_the_same(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    book = laid(tmp_path, reflow(9, 8) + LOG, reflow(21, 8, 9))
    put_log(book, SOUND)
    GitRepo.make(book).commit("two stays")
    for corners, times in ((SOUND, 0), (SOUND, 0), (TWICE, 4), (TWICE, 4), (SOUND, 0)):
        put_log(book, corners)
        assert cycles(run, book) == ([f"{LATER} {COUNTED.format(times)}"] if times else [])


def test_jot_counts_the_entry_that_it_writes(run: Run, tmp_path: Path) -> None:
    book = laid(tmp_path, reflow(9, 8, 9), reflow(21, 8))
    assert run("on", "77", "--book", book).status == 0
    ran = run("jot", "work", "reflow", "U3", "alloy", "SAC305", "--book", book)
    assert COUNTED.format(4) in ran.err
