"""The bar of long work: when it comes, what it says, and that it goes."""

from __future__ import annotations

import io

import pytest

from jobkit.cli.call.progress import Bar, progress_bar


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
