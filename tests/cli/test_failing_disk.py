"""Writing commands on a disk that refuses a step: what was written is said to be written, and nothing else is."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.at_the_bench import JOB, JOB_PATH, reading
from tests.books import put
from tests.cli.conftest import AtBench
from tests.faults.steps import Fault, call
from tests.long_run import share

BOOK_IN = ("book-in", "--client", "c-2", "--title", "x", "--kind", "graphics card", "--complaint", "y")
STOCK = 'format = 1\n\n[item.stage]\nwhat = "power stage"\ncounted = 14\ncounted_on = 2026-09-30\n'

COMMANDS: dict[str, tuple[str, ...]] = {
    "read": ("read", "v12", "30"),
    "jot": ("jot", "work", "fit", "u3", "new"),
    "jot stop": ("jot", "stop", "clean"),
    "stock count": ("stock", "count", "stage", "9"),
    "tidy": ("tidy", "7"),
    "book-in": BOOK_IN,
    "undo": ("undo",),
}

FAULTS = [
    pytest.param(errno.ENOSPC, 2, True, id="full disk"),
    pytest.param(errno.EACCES, 3, True, id="no permission", marks=pytest.mark.slow),
    pytest.param(errno.EIO, 3, False, id="bad sector", marks=pytest.mark.slow),
]
"""The error, of how many steps the usual run refuses one, and whether every later step fails too.

`python -m tests.faults` tries more.
"""


@pytest.fixture
def again(bench: AtBench, tmp_path: Path) -> Iterator[None]:
    """Give the bench as it was, each time it is asked for."""
    put(bench.root / "stock.toml", STOCK)
    put(bench.root / JOB_PATH, f"{JOB}\n{reading('work', value='20.50 ohm')}")
    bench.writes("jot", "start")
    bench.writes("read", "vmem", "23.4")
    kept = {name: shutil.copytree(tmp_path / name, tmp_path / f"{name} kept") for name in ("book", "state")}

    def each() -> Iterator[None]:
        while True:
            for name, copy in kept.items():
                shutil.rmtree(tmp_path / name)
                shutil.copytree(copy, tmp_path / name)
            yield

    return each()


@pytest.mark.parametrize("words", COMMANDS.values(), ids=COMMANDS)
@pytest.mark.parametrize(("error", "of", "lasting"), FAULTS)
def test_what_is_reported_is_what_happened(
    bench: AtBench, again: Iterator[None], words: tuple[str, ...], error: int, of: int, *, lasting: bool
) -> None:
    next(again)
    before = _book(bench)
    whole = [*words, "--book", str(bench.root)]
    well = call(whole, bench.root, at=bench.clock.time)
    assert well.status == 0
    after = _book(bench)
    assert after != before
    for number in share(range(1, well.steps + 1), of, error):
        next(again)
        ran = call(whole, bench.root, Fault(error, number, lasting), at=bench.clock.time)
        assert ran.status in {0, 2}, ran
        assert _book(bench) == (after if ran.status == 0 else before), ran
        assert bool(ran.out) == (ran.status == 0), ran
        assert all(
            line.startswith(("jobkit: ", "0 files tidied", "1 file tidied")) for line in ran.err.splitlines()
        ), ran
        assert ran.err or ran.status == 0


def _book(bench: AtBench) -> dict[str, bytes]:
    """Read the book, temporary files left aside."""
    files = (path for path in bench.root.rglob("*") if path.is_file() and not path.name.endswith(".tmp"))
    return {path.relative_to(bench.root).as_posix(): path.read_bytes() for path in files}
