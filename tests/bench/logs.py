"""How long lint reads one log of each kind: the logs of the example, in this process.

python -m tests.bench.logs
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from io import BytesIO
from typing import Any

from jobkit.book.logs.kept import kept_options
from jobkit.book.read.load import open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.settings import LogHabit
from jobkit.reckon.heat.work_log import heating_reader
from jobkit.reckon.load_run.trial import run_reader
from jobkit.reckon.memory.log_report import report_on
from tests.bench.stopwatch import as_table
from tests.books import EXAMPLE

Row = tuple[str, str, str, str]

_CALLS = 20


def of_each_kind() -> list[Row]:
    """Read the logs of the example again and again; each row has the least processor time of a log, in the mean."""
    settings = open_book(Tree(EXAMPLE))
    habit = settings.bench.settings.logs.get("memory", LogHabit())
    readers: tuple[tuple[str, str, Callable[[bytes], Any]], ...] = (
        ("loaded run", "load*.csv", run_reader(settings.bench)),
        ("heating", "heat*.csv", heating_reader(settings.bench)),
        ("memory test", "memory*.csv", lambda log: report_on(BytesIO(log), kept_options(habit), habit.width)),
    )
    return [_row(kind, _logs(pattern), read) for kind, pattern, read in readers]


def _logs(pattern: str) -> list[bytes]:
    return [path.read_bytes() for path in sorted(EXAMPLE.glob(f"jobs/*/*/{pattern}"))]


def _row(kind: str, logs: Sequence[bytes], read: Callable[[bytes], Any]) -> Row:
    least = min(_spent(logs, read) for _ in range(_CALLS)) / len(logs)
    rows = sum(log.count(b"\n") for log in logs) / len(logs)
    return (f"reading the log of a {kind}", f"{least * 1000:.2f} ms", f"{rows:.0f} rows in the mean", "")


def _spent(logs: Sequence[bytes], read: Callable[[bytes], Any]) -> float:
    begun = time.process_time()
    for log in logs:
        read(log)
    return time.process_time() - begun


if __name__ == "__main__":
    print(as_table(of_each_kind()))
