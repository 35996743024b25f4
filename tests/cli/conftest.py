"""Fixtures of the commands that write: a bench, its clock, and whoever sits at it."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from jobkit.jobs.settings import Settings
from tests.at_the_bench import JOB_PATH, NOW, bench_book
from tests.conftest import Ran, Run


class BenchClock:
    """The clock of the bench; it stands still until it is moved."""

    def __init__(self) -> None:
        self.time = NOW

    def now(self, _settings: Settings) -> datetime:
        """Tell the time."""
        return self.time

    def passes(self, minutes: int) -> None:
        """Let time pass."""
        self.time += timedelta(minutes=minutes)


class AtBench:
    """A person at the bench: the book, what is typed, and the job file as it is."""

    def __init__(self, root: Path, run: Run, clock: BenchClock, pipe: Callable[[str], None]) -> None:
        self.root = root
        self.clock = clock
        self._run = run
        self._pipe = pipe

    def __call__(self, *words: str, pipe: str = "") -> Ran:
        """Run a command on the book, with `pipe` on its stdin."""
        self._pipe(pipe)
        return self._run(*words, "--book", self.root)

    @property
    def text(self) -> str:
        """The job file."""
        return (self.root / JOB_PATH).read_text("utf-8")

    def writes(self, *words: str, pipe: str = "") -> str:
        """Run a command that must go well; give what it printed."""
        ran = self(*words, pipe=pipe)
        assert (ran.status, ran.err) == (0, ""), ran
        return ran.out


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> BenchClock:
    """Stop the clock of the bench at 10:05 on 22 October 2026."""
    stopped = BenchClock()
    for module in ("noting", "writing", "walking"):
        monkeypatch.setattr(f"jobkit.cli.bench.{module}.now", stopped.now)
    return stopped


@pytest.fixture
def bench(tmp_path: Path, run: Run, clock: BenchClock, monkeypatch: pytest.MonkeyPatch) -> AtBench:
    """Sit down as ida at a bench outside git, with the one job of its book chosen."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("JOBKIT_BY", "ida")
    monkeypatch.chdir(tmp_path)
    there = AtBench(
        bench_book(tmp_path / "book"),
        run,
        clock,
        lambda text: monkeypatch.setattr("sys.stdin", io.StringIO(text)),
    )
    there.writes("on", "7")
    return there
