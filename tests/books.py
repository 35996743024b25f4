"""Small books for tests: a bench, a board and one sound job, to be broken as a test needs."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

EXAMPLE = Path(__file__).parent.parent / "jobs_example"

BENCH = """\
format = 1
[bench]
name = "Test Bench"
letter = "K"
zone = "UTC"
currency = "EUR"
[proof."graphics card"]
cold_resistance = ["VMEM"]
function = ["picture"]
"""

BOARD = """\
format = 1
design = "alder-a1"
kind = "graphics card"
[[rail]]
name = "VMEM"
nominal = "1.35 V"
feeds = ["U1"]
[[point]]
name = "VMEM"
where = "coil L7"
rail = "VMEM"
[[point.limit]]
kind = "resistance"
state = "cold"
limit = "10 Ω .. 60 Ω"
"""

JOB = """\
format = 1
id = "K26-0001"
client = "c-001"
title = "No picture"
outcome = "repaired"

[board]
kind = "graphics card"
design = "alder-a1"

[intake]
complaint = "No picture since Monday"

[dates]
received = 2026-10-05
quoted = 2026-10-06
agreed = 2026-10-07
started = 2026-10-08
finished = 2026-10-09
paid = 2026-10-10
sent = 2026-10-12

[[reading]]
at = 2026-10-08T10:00:00
stage = "arrival"
point = "VMEM"
kind = "resistance"
value = "0.4 Ω"
state = "cold"

[[reading]]
at = 2026-10-09T10:00:00
stage = "proof"
point = "VMEM"
kind = "resistance"
value = "23.4 Ω"
limit = "10 Ω .. 60 Ω"
state = "cold"

[[work]]
at = 2026-10-08T11:00:00
minutes = 75
did = "clean"

[[trial]]
at = 2026-10-09T11:00:00
run = "picture"
result = "pass"

[price]
charged = "155.00 EUR"

[warranty]
duration = "P6M"
"""

JOB_PATH = "jobs/2026/K26-0001.toml"


def make_book(root: Path, files: Mapping[str, str | bytes | None] | None = None) -> Path:
    """Write a small book to `root`; `files` replaces or adds files by path, None leaves one out."""
    wanted = {"bench.toml": BENCH, "boards/alder-a1.toml": BOARD, JOB_PATH: JOB, **(files or {})}
    for path, content in wanted.items():
        if content is not None:
            put(root / path, content)
    return root


def put(path: Path, content: str | bytes) -> None:
    """Write a file and its folders."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content.encode() if isinstance(content, str) else content)


def line_of(text: str, part: str) -> int:
    """Tell the first line of `text`, from 1, that holds `part`."""
    return next(number for number, line in enumerate(text.split("\n"), 1) if part in line)
