"""Readings, meters and good boards for tests of the numbers, in as few words as a table needs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point, PointLimit
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Reading
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Board, Comeback, Dates, Job
from jobkit.jobs.meter import Meter, Range
from jobkit.units.accuracy import Accuracy
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity, parse_span

DESIGN = "alder-a1"


def a_range(
    kind: str, upto: str, accuracy: str = "", lead: str = "", *, four_wire: bool = False, at: int = 0
) -> Range:
    """Make a range; `accuracy` is "percent counts step", such as "0.5 8 0.01 Ω", or "" where none is stated."""
    off = parse_quantity(lead, kind) if lead else None
    known = None
    if accuracy:
        percent, counts, step = accuracy.split(" ", 2)
        known = Accuracy(Decimal(percent), Decimal(counts), parse_span(step, kind), off)
    return Range(("meter", 0, "range", at), kind, parse_quantity(upto, kind), known, four_wire, off)


def meter(name: str, *ranges: Range, number: int = 0, **more: Any) -> Meter:
    """Make a meter, its ranges with places of their own."""
    placed = (one._replace(path=("meter", number, "range", at)) for at, one in enumerate(ranges))
    return Meter(("meter", number), name, ranges=tuple(placed), **more)


# The coarse and the fine meter of the example book, their resistance ranges.
COARSE = meter(
    "dmm-1",
    a_range("resistance", "220 Ω", "0.5 8 0.01 Ω", "0.12 Ω"),
    a_range("resistance", "22 kΩ", "0.8 3 1 Ω"),
)
FINE = meter("dmm-2", a_range("resistance", "100 Ω", "0.03 4 0.001 Ω"), number=1)
METERS = {"dmm-1": COARSE, "dmm-2": FINE}


def a_reading(value: str, index: int = 0, **how: Any) -> Reading:
    """Make a proof reading of VMEM, cold, unless said otherwise."""
    kind = how.pop("kind", "resistance")
    told = {"at": datetime(2026, 10, 9, 10), "stage": "proof", "point": "VMEM", "state": "cold", **how}
    return Reading(("reading", index), kind=kind, value=parse_quantity(value, kind), **told)


def a_job(number: int, readings: Sequence[Reading], **more: Any) -> Job:
    """Make a job of the design, repaired and finished unless said otherwise."""
    board = Board(
        "graphics card", DESIGN, more.pop("serial", f"S-{number}"), known_good=more.pop("known_good", False)
    )
    finished = more.pop("finished", date(2026, 10, 10))
    back = more.pop("comeback", None)
    told = {"outcome": "repaired", **more}
    return Job(
        path=f"jobs/2026/K26-{number:04}.toml",
        id=f"K26-{number:04}",
        board=board,
        dates=Dates(received=date(2026, 10, 1), finished=finished),
        readings=tuple(readings),
        comeback=Comeback(*back) if back else None,
        **told,
    )


def good_boards(values: Sequence[str], **how: Any) -> list[Facts]:
    """Make a finished job for each value, of boards of their own."""
    return [facts_of(a_job(number, [a_reading(value, **how)])) for number, value in enumerate(values, 1)]


def bench(**more: Any) -> Bench:
    """Make a bench with the two meters."""
    return Bench(**{"meters": METERS, **more})


def limited(limit: str, kind: str = "resistance") -> Design:
    """Make the design, with one limit for VMEM, cold."""
    limits = (PointLimit(("point", 0, "limit", 0), kind, "cold", limit=parse_limit(limit)),)
    return Design(f"boards/{DESIGN}.toml", DESIGN, points=(Point(("point", 0), "VMEM", limits=limits),))
