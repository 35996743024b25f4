"""A bench to write at: an invented design with 12 points that are read cold, two meters, a proof policy, one board."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from pathlib import Path

from jobkit.book.read.load import OpenBook, load_job, open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.reckon.entry.reading_entry import BenchContext
from tests.books import put

BENCH = """\
format = 1
[bench]
name = "Test Bench"
letter = "K"
zone = "UTC"
currency = "EUR"
[warranty]
duration = "P6M"
[heat]
cooling_minutes = 30
[proof."graphics card"]
cold_resistance = ["VCORE", "VMEM", "V12"]
function = ["picture"]
load = { run = "load run", minutes = 30 }
last = ["final clean", "final inspection"]
[proof."graphics card".no-fault-found]
function = ["picture", "warm restart"]
"""

METERS = """\
format = 1
[[meter]]
name = "dmm-1"
[[meter.range]]
kind = "resistance"
upto = "22 MΩ"
[[meter.range]]
kind = "diode"
upto = "2 V"
[[meter]]
name = "dmm-2"
[[meter.range]]
kind = "resistance"
upto = "100 MΩ"
[[meter.range]]
kind = "voltage"
upto = "20 V"
[[meter.range]]
kind = "ripple"
upto = "1 V"
"""

STOCK = """\
format = 1
[item.stage-50a-5x6]
what = "power stage"
counted = 14
counted_on = 2026-09-30
"""

_RAILS = ("VCORE", "VMEM", "VMEM2", "V12", "V5", "V3V3", "V1V8", "V0V8")

BOARD = (
    """\
format = 1
design = "rowan-r3"
kind = "graphics card"
processor = "U10"
parts = ["Q214", "U3", "U4", "L3"]
"""
    + "".join(
        f'[[rail]]\nname = "{name}"\nnominal = "{nominal} V"\nfeeds = ["{feeds}"]\n'
        + ("" if name == "V12" else 'made_from = "V12"\nthrough = ["Q214"]\n')
        for name, nominal, feeds in (("V12", 12, "Q214"), ("VCORE", 1, "U10"), ("VMEM", 1.35, "U3"))
    )
    + "".join(
        f'[[point]]\nname = "{name}"\nwhere = "coil of {name}"\n'
        '[[point.limit]]\nkind = "resistance"\nstate = "cold"\nlimit = "10 Ω .. 60 Ω"\n'
        for name in _RAILS
    )
    + "".join(
        f'[[point]]\nname = "PG{number}"\nwhere = "gate {number}"\ngroup = "gate"\n'
        '[[point.limit]]\nkind = "diode"\nstate = "cold"\nred_on = "ground"\nlimit = "0.48 V .. 0.62 V"\n'
        for number in range(1, 5)
    )
    + '[[point]]\nname = "OUT"\n[[point.limit]]\nkind = "voltage"\nstate = "powered"\nlimit = "1.35 V +/- 3 %"\n'
    + '[[point.limit]]\nkind = "ripple"\nstate = "powered"\nlimit = "<= 40 mV"\n'
    + '[[check]]\nname = "memory test"\nstate = "powered"\n'
)
"""Twelve points that are read cold, one that is read under power."""

JOB = """\
#:schema ../../schema/job.schema.json
format = 1
id     = "K26-0007"
client = "c-001"
title  = "No picture"

[board]
kind   = "graphics card"
design = "rowan-r3"
serial = "R3-0001"

[intake]
complaint = "No picture since Monday"

[dates]
received = 2026-10-19
"""

JOB_PATH = "jobs/2026/K26-0007.toml"
NOW = datetime(2026, 10, 22, 10, 5)


def bench_book(root: Path, job: str = JOB) -> Path:
    """Write the book of the bench to `root`."""
    files = {
        "bench.toml": BENCH,
        "meters.toml": METERS,
        "stock.toml": STOCK,
        "boards/rowan-r3.toml": BOARD,
        JOB_PATH: job,
    }
    for path, text in files.items():
        put(root / path, text)
    return root


def opened(root: Path) -> OpenBook:
    """Open the book at `root`."""
    return open_book(Tree(root))


def a_job(more: str = "", *, text: str = JOB) -> Job:
    """Read the job with `more` behind it; it must be sound."""
    loaded = load_job(JOB_PATH, f"{text}\n{more}".encode())
    assert loaded.job
    assert loaded.troubles == ()
    return loaded.job


@cache
def the_bench(root: Path) -> Bench:
    """Read what the bench knows."""
    return opened(bench_book(root)).bench


def context(root: Path, more: str = "") -> BenchContext:
    """Make a situation: the job with `more` behind it, at NOW, by ida."""
    return BenchContext(a_job(more), the_bench(root), NOW, "ida")


def reading(stage: str = "arrival", point: str = "VMEM", value: str = "23.4 Ω", **keys: str) -> str:
    """Write a reading as a job file has it, of a cold resistance unless said otherwise."""
    at = keys.pop("at", "2026-10-20T10:00:00")
    whole = {"kind": "resistance", "state": "cold", "stage": stage, "point": point, "value": value, **keys}
    return f"[[reading]]\nat = {at}\n" + "".join(f'{key} = "{text}"\n' for key, text in whole.items())


def work(did: str, part: str = "", at: str = "2026-10-21T10:00:00") -> str:
    """Write a piece of work as a job file has it."""
    return f'[[work]]\nat = {at}\ndid = "{did}"\n' + (f'part = "{part}"\n' if part else "")
