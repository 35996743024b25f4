"""Measure `jobkit memory` on a log of ten million rows against the csv module, which only reads the rows.

    python -m tests.bench.memory_log                 # ten million rows
    python -m tests.bench.memory_log --rows 1000000

Both are processes of their own, start-up included, one after the other; the least processor time of three calls, which
says the same whatever else the machine does.
"""

from __future__ import annotations

import argparse
import random
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from tests.bench.__main__ import installed
from tests.bench.stopwatch import Stopwatch, as_table

WITH_CSV = "import csv, sys\nfor row in csv.reader(open(sys.argv[1], newline='')): pass"
CHANNELS = [f"{package}{half}" for package in range(1, 9) for half in "LH"]
PIECE = 100_000


class Kind(NamedTuple):
    """What a log is like: the bits of a word, the lines that fail, and how often a row may have occurred."""

    name: str
    bits: int
    lines: Sequence[int]
    times: Sequence[int] = ()


KINDS = (
    Kind("16 bits, two lines fail", 16, (3, 7)),
    Kind("16 bits, two lines fail, with a column of times", 16, (3, 7), (1,)),
    Kind("32 bits, three lines fail, with a column of times", 32, (3, 7, 21), (1,)),
    Kind("16 bits, two lines fail, rows that occurred 1 to 20 times", 16, (3, 7), range(1, 21)),
    Kind("32 bits, every line fails", 32, range(32)),
)


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--rows", type=int, default=10_000_000)
    rows = words.parse_args().rows
    with tempfile.TemporaryDirectory() as folder:
        print(as_table([measured(kind, rows, Path(folder)) for kind in KINDS], HEADS))


HEADS = (
    "memory log",
    "csv module",
    "`memory`",
    "that is",
    "peak memory",
    "to be met",
)


def measured(kind: Kind, rows: int, folder: Path) -> tuple[str, ...]:
    """Return one row of the table."""
    place = folder / "installed"
    watch = Stopwatch(place if place.exists() else installed(folder))
    log = folder / "memory.csv"
    write_log(log, kind, rows)
    by_csv = least(watch, lambda: watch.python("-c", WITH_CSV, str(log), calls=1))
    ours = least(watch, lambda: watch.jobkit(folder, "memory", str(log), "--format", "json", calls=1))
    return (
        f"{rows / 1e6:g} million rows, {kind.name}",
        f"{by_csv:.1f} s",
        f"{ours:.1f} s",
        f"{ours / by_csv:.2f} times as long",
        f"{watch.memory / 1024:.0f} MB",
        "2 times",
    )


def least(watch: Stopwatch, call: Callable[[], float]) -> float:
    """Return the least processor time of three calls."""
    times = []
    for _ in range(3):
        call()
        times.append(watch.processor)
    return min(times)


def write_log(path: Path, kind: Kind, rows: int) -> None:
    """Write a log of random words, with one wrong line a row; its rows repeat after a hundred thousand."""
    dice = random.Random(1)  # noqa: S311 - the same log each time
    digits = kind.bits // 4
    lines = []
    for _ in range(min(rows, PIECE)):
        written = dice.getrandbits(kind.bits)
        read = written ^ (1 << dice.choice(kind.lines))
        times = f",{dice.choice(kind.times)}" if kind.times else ""
        lines.append(f"{dice.choice(CHANNELS)},{written:0{digits}X},{read:0{digits}X}{times}\n")
    piece = "".join(lines)
    with path.open("w", encoding="utf-8") as file:
        file.write("channel,written,read" + (",times\n" if kind.times else "\n"))
        for _ in range(rows // len(lines)):
            file.write(piece)


if __name__ == "__main__":
    main()
