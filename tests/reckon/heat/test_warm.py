"""Which work is soldering, which leaves the board warm, and when it was over."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest

from jobkit.jobs.entries import Work
from jobkit.reckon.heat.warm import end_of, is_soldered, is_warming

AT = datetime(2026, 10, 8, 12)


def work(did: str, part: str | None = None, **more: Any) -> Work:
    return Work(("work", 0), did=did, part=part, **more)


# A piece of work; whether it is soldering, whether it leaves the board warm.
HEATS = {
    "a removal": (work("remove", "U1"), True, True),
    "a fitting": (work("fit", "U1"), True, True),
    "a swap": (work("swap", "U1"), True, True),
    "a reflow": (work("reflow", "U1"), True, True),
    "a reflow of no part in particular": (work("reflow"), False, True),
    "a fan that was fitted": (work("fit", "fan 1"), False, False),
    "a heatsink, in two words": (work("remove", "heat sink"), False, False),
    "a fan that was fitted with an alloy": (work("fit", "fan 1", alloy="SAC305"), True, True),
    "a fan that was fitted with a heat log": (work("fit", "fan 1", heat="heat.csv"), True, True),
    "an iron on pads": (work("prepare", "U1"), False, True),
    "a bake of the board": (work("bake"), False, True),
    "a bake of a package": (work("bake", "U1"), False, False),
    "a bake of a package with a heat log": (work("bake", "U1", heat="heat.csv"), False, True),
    "cleaning": (work("clean", "U1"), False, False),
    "cleaning with a heat log": (work("clean", "U1", heat="heat.csv"), False, True),
    "cleaning off an alloy": (work("clean", "U1", alloy="SAC305"), False, False),
}


@pytest.mark.parametrize(("done", "soldered", "warming"), HEATS.values(), ids=HEATS)
def test_what_brings_heat(done: Work, *, soldered: bool, warming: bool) -> None:
    assert (is_soldered(done), is_warming(done)) == (soldered, warming)


ENDS = {
    "minutes": (work("fit", "U1", at=AT, minutes=Decimal("1.5")), datetime(2026, 10, 8, 12, 1, 30)),
    "no length": (work("fit", "U1", at=AT), AT),
    "hours of a bake": (work("bake", at=AT, hours=Decimal("0.5")), datetime(2026, 10, 8, 12, 30)),
    "hours before minutes": (
        work("bake", at=AT, hours=Decimal(2), minutes=Decimal(5)),
        datetime(2026, 10, 8, 14),
    ),
    "a bake of no hours": (work("bake", at=AT, minutes=Decimal(5)), datetime(2026, 10, 8, 12, 5)),
    "hours of what is no bake": (
        work("fit", at=AT, hours=Decimal(2), minutes=Decimal(5)),
        datetime(2026, 10, 8, 12, 5),
    ),
    "no beginning": (work("fit", "U1", minutes=Decimal(5)), None),
}


@pytest.mark.parametrize(("done", "expected"), ENDS.values(), ids=ENDS)
def test_when_it_was_over(done: Work, expected: datetime | None) -> None:
    assert end_of(done) == expected
