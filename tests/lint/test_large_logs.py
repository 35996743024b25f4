"""A log of the book that is larger than what is read of one file is said, whatever it is a log of."""

from __future__ import annotations

from pathlib import Path

from tests.books import BENCH, JOB, JOB_PATH, make_book
from tests.conftest import Run

ENTRIES = """
[[seen]]
at = 2026-10-08T10:00:00
check = "memory test"
passed = ["1L"]
log = "memory.csv"

[[work]]
at = 2026-10-08T11:00:00
did = "fit"
part = "U1"
alloy = "SAC305"
heat = "heat.csv"

[[trial]]
at = 2026-10-08T12:00:00
run = "load run"
minutes = 30
result = "pass"
log = "load.csv"
limit = { "hot spot" = "<= 95 °C" }
"""


def test_each_rule_about_logs_says_that_one_is_too_large(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path, {JOB_PATH: JOB + ENTRIES, "bench.toml": BENCH})
    folder = book / JOB_PATH.removesuffix(".toml")
    folder.mkdir()
    for name in ("memory.csv", "heat.csv", "load.csv"):
        with (folder / name).open("wb") as file:
            file.truncate(16_000_001)
    findings = run("lint", "--book", book, "--on", "2026-11-20", "--format", "json").data["findings"]
    told = {one["about"]: one["rule"] for one in findings if "is larger than 16 MB" in one["message"]}
    assert told == {
        "memory.csv": "memory-log-unread",
        "heat.csv": "heat-log-unlike",
        "load.csv": "trial-log-unlike",
    }
