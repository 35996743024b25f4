"""The bar of long work: when it comes, what it says, and that it goes."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from jobkit.book.read import parallel
from jobkit.cli.call import progress
from jobkit.cli.call.progress import Bar, progress_bar
from jobkit.cli.start.main import main
from tests.conftest import Run


class Watch:
    """A clock that a test moves on."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def now(self) -> float:
        return self.seconds


@pytest.mark.parametrize(
    ("whole", "done", "shown"),
    [
        (200, 0, "reading load.csv  ........................    0 %"),
        (200, 100, "reading load.csv  ============............   50 %"),
        (200, 200, "reading load.csv  ========================  100 %"),
        (200, 900, "reading load.csv  ========================  100 %"),
        (0, 12_400_000, "reading load.csv  12 MB"),
    ],
    ids=["begun", "half", "done", "grew meanwhile", "size unknown"],
)
def test_what_the_bar_says(whole: int, done: int, shown: str) -> None:
    watch, out = Watch(), io.StringIO()
    bar = Bar("reading load.csv", whole, out, watch.now)
    watch.seconds = 0.6
    bar.show(done)
    assert out.getvalue() == f"\r{shown}"


def test_quick_work_shows_no_bar_and_leaves_nothing_behind() -> None:
    watch, out = Watch(), io.StringIO()
    bar = Bar("reading", 100, out, watch.now)
    watch.seconds = 0.4
    bar.show(50)
    bar.clear()
    assert out.getvalue() == ""


def test_the_bar_is_drawn_ten_times_a_second_at_most_and_taken_away() -> None:
    watch, out = Watch(), io.StringIO()
    bar = Bar("reading", 100, out, watch.now)
    for moment in (0.6, 0.65, 0.72):
        watch.seconds = moment
        bar.show(50)
    assert out.getvalue().count("\r") == 2
    bar.clear()
    assert out.getvalue().endswith("\r" + " " * len("reading  ============............   50 %") + "\r")


def test_without_a_terminal_there_is_no_bar() -> None:
    with progress_bar("reading", 100) as show:
        assert show is None


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("lint", "--on", "2026-11-20"), "reading jobs"),
        (("lint", "--on", "2026-11-20", "--rev", "HEAD"), "reading jobs"),
        (("week", "--on", "2026-11-20"), "reading jobs"),
        (("show", "47", "--on", "2026-11-20"), "reading jobs"),
        (("usual", "tarnhow-t7-16", "--on", "2026-11-20"), "reading load logs"),
        (("suspects", "--learn", "tarnhow-t7-16", "--on", "2026-11-20"), "reading jobs"),
        (("export", "tables", "--on", "2026-11-20"), "writing 2026"),
        (("site", "pages", "--on", "2026-11-20"), "writing pages"),
        (("tidy", "--check"), "reading files"),
        (("upgrade", "--check"), "reading files"),
    ],
    ids=lambda value: value if isinstance(value, str) else value[0],
)
def test_long_work_says_how_far_it_is_on_a_terminal(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    """A large book takes seconds; here the first bar comes at once, and it is gone at the end."""
    run("demo", tmp_path / "book")
    monkeypatch.chdir(tmp_path / "book")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(progress, "_PATIENCE", 0.0)
    monkeypatch.setattr(progress, "_BETWEEN", 0.0)
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    assert main(words) in {0, 1}
    drawn = screen.getvalue()
    assert f"\r{said}  " in drawn
    assert re.search(r"\r +\r[^\r=]*\Z", drawn)


def test_forked_work_counts_what_the_others_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel, "_processes", lambda: 2)
    told: list[int] = []
    items = [str(number) for number in range(500)]
    made = list(parallel.map_in_processes(iter, items, told.append))
    assert sorted(made) == sorted(items)
    assert told == list(range(2, 501, 2))
