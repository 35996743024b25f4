"""Calls with their times and their peak memory."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path


class Stopwatch:
    """Runs programs and gives the least time of several calls.

    Of the last call, `memory` is the peak in kB, and `processor` the seconds that it took of a processor.
    """

    def __init__(self, installed: Path) -> None:
        self._environment = {**os.environ, "PYTHONPATH": str(installed), "COLUMNS": "100"}
        self.memory = 0
        self.processor = 0.0
        self.times: dict[str, float] = {}

    def jobkit(
        self, at: Path, *words: str, calls: int = 5, before: Callable[[], None] | None = None
    ) -> float:
        return self._least([sys.executable, "-P", "-m", "jobkit", *words], at, calls, before)

    def python(
        self, *words: str, at: Path | None = None, calls: int = 15, before: Callable[[], None] | None = None
    ) -> float:
        return self._least([sys.executable, *words], at or Path.cwd(), calls, before)

    def run(self, at: Path, *words: str, calls: int = 5) -> float:
        return self._least(words, at, calls, None)

    def cold(self) -> str:
        return f"{self.times['cold']:.1f} s"

    def _least(self, words: Sequence[str], at: Path, calls: int, before: Callable[[], None] | None) -> float:
        return min(self._once(words, at, before) for _ in range(calls))

    def _once(self, words: Sequence[str], at: Path, before: Callable[[], None] | None) -> float:
        if before:
            before()
        begun = time.perf_counter()
        quiet = subprocess.DEVNULL
        with subprocess.Popen(words, cwd=at, env=self._environment, stdout=quiet, stderr=quiet) as process:
            _, _, used = os.wait4(process.pid, 0)
            process.returncode = 0  # it has been waited for
        self.memory = used.ru_maxrss
        self.processor = used.ru_utime + used.ru_stime
        return time.perf_counter() - begun


def as_table(
    rows: Sequence[Sequence[str]], heads: Sequence[str] = ("work", "took", "that is", "to be met")
) -> str:
    """Lay the rows out as a Markdown table."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)
