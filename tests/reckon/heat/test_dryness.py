"""Which packages were soldered before they were dry: on each limit of time, and one beyond it.

Floor life is that of J-STD-020, bakes are those of J-STD-033 (see test_baking.py): level 3 up to 1.4 mm thick bears
168 hours, and is baked at 125 °C for 7 hours up to 72 hours after its life was over, then for 9.
"""

from __future__ import annotations

from datetime import date, datetime

import pytest

from jobkit.book.read.bench import read_stock
from jobkit.book.read.board import read_design
from jobkit.book.read.load import document, load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.reckon.heat.dryness import LIFE_OVER, NOT_BAKED, TOO_SHORT, Bakes, Wet, wet_board, wet_fittings

STOCK = """
format = 1
[item.memory]
what = "memory"
moisture = "3"
body_mm = 1.1
opened = 2026-10-05
[item.six]
what = "level 6"
moisture = "6"
body_mm = 1.1
[item.open-six]
what = "level 6, opened"
moisture = "6"
body_mm = 1.1
opened = 2026-10-05
[item.lots]
what = "in lots"
moisture = "3"
body_mm = 1.1
[[item.lots.lot]]
name = "a"
opened = 2026-10-05
[[item.lots.lot]]
name = "b"
[item.dry]
what = "level 1"
moisture = "1"
[item.unknown]
what = "of no known level"
"""
DESIGN = """
format = 1
design = "wick"
kind = "graphics card"
[[package]]
part = "U1"
moisture = "3"
body_mm = 1.1
[[package]]
part = "U2"
moisture = "4"
body_mm = 1.1
[[package]]
part = "U3"
[[package]]
part = "U6"
moisture = "6"
body_mm = 1.1
"""


def bench(since: date | None = None) -> Bench:
    stock, board = (document(text.encode())[0] for text in (STOCK, DESIGN))
    assert stock is not None
    assert board is not None
    made = Bench(stock=read_stock(stock)[0], designs={"wick": read_design("boards/wick.toml", board)[0]})
    return made._replace(settings=made.settings._replace(board_bake_since=since))


def job(*entries: str) -> Job:
    head = (
        'format = 1\nid = "K26-0001"\nclient = "c-1"\ntitle = "t"\n[board]\nkind = "graphics card"\n'
        'design = "wick"\n[intake]\ncomplaint = "c"\n[dates]\nreceived = 2026-09-01\n'
    )
    loaded = load_job("jobs/2026/K26-0001.toml", (head + "".join(entries)).encode())
    assert loaded.troubles == ()
    assert loaded.job is not None
    return loaded.job


def work(did: str, at: str, part: str = "U1", **more: object) -> str:
    keys = "".join(f"{key} = {value!r}\n".replace("'", '"') for key, value in more.items())
    named = f'part = "{part}"\n' if part else ""
    return f'[[work]]\nat = 2026-{at}:00\ndid = "{did}"\n{named}{keys}'


def used(at: str, item: str = "memory", **more: str) -> str:
    keys = "".join(f'{key.rstrip("_")} = "{value}"\n' for key, value in more.items())
    return f'[[used]]\nat = 2026-{at}:00\npart = "U1"\nitem = "{item}"\n{keys}'


def bake(at: str, hours: float, oven: str = "125 °C", part: str = "U1") -> str:
    return work("bake", at, part, hours=hours, **({"oven": oven} if oven else {}))


def fitted(at: str, item: str = "memory", **more: str) -> str:
    return work("fit", at) + used(at, item, **more)


def donor(at: str, part: str = "U1") -> str:
    return work("fit", at, part, came="donor")


Told = tuple[str, str, int | None, str]
OVER, BARE = (LIFE_OVER, "U1", None, ""), (NOT_BAKED, "U1", None, "")


def told(found: Wet) -> Told:
    """Tell the fault, the part, the hours that were asked for, and when the bake began."""
    at = found.bake.at if found.bake else None
    return found.fault, found.part, found.hours, f"{at:%m-%dT%H:%M}" if at else ""


FITTINGS: dict[str, tuple[str, list[Told]]] = {
    "the last day of its floor life": (fitted("10-12T23:59"), []),
    "the day after": (fitted("10-13T00:00"), [OVER]),
    "swapped the day after": (work("swap", "10-13T00:00") + used("10-13T00:00"), [OVER]),
    "fitted again": (work("fit", "10-13T00:00", came="same") + used("10-13T00:00"), []),
    "its bag was opened later": (fitted("10-04T10:00"), []),
    "bought": (fitted("10-20T10:00", from_="bought"), []),
    "from stock, in so many words": (fitted("10-20T10:00", from_="stock"), [OVER]),
    "of level 1": (fitted("10-20T10:00", "dry"), []),
    "of no known level in stock, of a known one in the board file": (fitted("10-20T10:00", "unknown"), []),
    "a lot that was opened": (fitted("10-13T10:00", "lots", lot="a"), [OVER]),
    "a lot that is sealed": (fitted("10-13T10:00", "lots", lot="b"), []),
    "a lot that nobody named": (fitted("10-13T10:00", "lots"), []),
    "of level 6, never baked": (fitted("10-13T10:00", "six"), [BARE]),
    "of level 6, its bag opened": (fitted("10-13T10:00", "open-six"), [BARE]),
    "of level 6, baked a year before": (
        bake("09-02T10:00", 16) + work("fit", "12-30T10:00") + used("12-30T10:00", "six"),
        [],
    ),
    "baked for 7 hours, 72 hours after": (bake("10-15T00:00", 7) + fitted("10-15T12:00"), []),
    "for a little less": (
        bake("10-15T00:00", 6.9) + fitted("10-15T12:00"),
        [(TOO_SHORT, "U1", 7, "10-15T00:00")],
    ),
    "for 7 hours, a minute later": (
        bake("10-15T00:01", 7) + fitted("10-15T12:00"),
        [(TOO_SHORT, "U1", 9, "10-15T00:01")],
    ),
    "for 9 hours, a minute later": (bake("10-15T00:01", 9) + fitted("10-15T12:00"), []),
    "a board was baked, not the package": (bake("10-15T00:00", 48, part="") + fitted("10-18T12:00"), [OVER]),
    "another package was": (bake("10-15T00:00", 48, part="U2") + fitted("10-18T12:00"), [OVER]),
    "from a donor, not baked": (donor("10-15T12:00"), [BARE]),
    "from a donor, of no known level": (donor("10-15T12:00", "U3"), []),
    "from a donor, of level 6": (donor("10-15T12:00", "U6"), [(NOT_BAKED, "U6", None, "")]),
    "an item from a donor": (fitted("10-06T12:00", from_="K26-0009"), [BARE]),
    "fitted the minute at which the bake was over": (bake("10-15T00:00", 9) + donor("10-15T09:00"), []),
    "a minute before": (
        bake("10-15T00:00", 9) + donor("10-15T08:59"),
        [(NOT_BAKED, "U1", None, "10-15T00:00")],
    ),
    "the minute at which it began": (
        bake("10-15T00:00", 9) + donor("10-15T00:00"),
        [(NOT_BAKED, "U1", None, "10-15T00:00")],
    ),
    "before it began": (bake("10-15T00:00", 9) + donor("10-14T23:59"), [BARE]),
    "168 hours after the bake": (bake("10-15T00:00", 9) + donor("10-22T09:00"), []),
    "a minute later than that": (
        bake("10-15T00:00", 9) + donor("10-22T09:01"),
        [(LIFE_OVER, "U1", None, "10-15T00:00")],
    ),
    "an oven of unknown heat": (
        bake("10-15T00:00", 48, "") + donor("10-17T09:01"),
        [(TOO_SHORT, "U1", None, "10-15T00:00")],
    ),
    "an oven too cool": (
        bake("10-15T00:00", 48, "39 °C") + donor("10-17T09:01"),
        [(TOO_SHORT, "U1", None, "10-15T00:00")],
    ),
    "long enough, then three times too short": (
        bake("10-15T00:00", 9)
        + "".join(bake(f"10-16T0{hour}:00", 1) for hour in (1, 3, 5))
        + donor("10-16T09:00"),
        [],
    ),
    "long enough, then four times too short": (
        bake("10-15T00:00", 9)
        + "".join(bake(f"10-16T0{hour}:00", 1) for hour in (1, 3, 5, 7))
        + donor("10-16T09:00"),
        [(TOO_SHORT, "U1", 9, "10-16T07:00")],
    ),
    "two bakes, the later one first in the file": (
        bake("10-20T00:00", 9) + bake("10-12T00:00", 9) + donor("10-21T00:00"),
        [],
    ),
    "an item of level 1 from a donor": (fitted("10-20T10:00", "dry", from_="K26-0009"), []),
    "an item of no known level from a donor": (fitted("10-20T10:00", "unknown", from_="K26-0009"), [BARE]),
    "plugged, not soldered": (work("fit", "10-20T10:00", "fan 1", came="donor"), []),
}


@pytest.mark.parametrize(("entries", "expected"), FITTINGS.values(), ids=FITTINGS)
def test_a_package_that_was_fitted(entries: str, expected: list[Told]) -> None:
    assert [told(found) for found in wet_fittings(job(entries), bench())] == expected


DRY = bake("10-15T00:00", 12, part="")
BOARDS: dict[str, tuple[str, list[Told]]] = {
    "removed from a board that was not baked": (work("remove", "10-20T10:00"), [BARE]),
    "and a second time: said once": (
        work("remove", "10-20T10:00") + work("reflow", "10-20T11:00", "U2"),
        [BARE],
    ),
    "what is fitted is not of the board": (work("fit", "10-20T10:00"), []),
    "what is near it is": (work("fit", "10-20T10:00", near=["U2"]), [(NOT_BAKED, "U2", None, "")]),
    "a package of no known level": (work("remove", "10-20T10:00", "U3"), []),
    "a fan": (work("remove", "10-20T10:00", "fan 1", near=["U1"]), []),
    "baked long enough for level 3": (bake("10-15T00:00", 9, part="") + work("remove", "10-20T10:00"), []),
    "too short for level 4": (
        bake("10-15T00:00", 10, part="") + work("remove", "10-16T10:00", near=["U2"]),
        [(TOO_SHORT, "U1", 11, "10-15T00:00")],
    ),
    "long enough for both": (DRY + work("remove", "10-16T10:00", near=["U2"]), []),
    "the shortest life counts: 72 hours": (DRY + work("remove", "10-18T12:00", near=["U2"]), []),
    "and a minute more": (
        DRY + work("remove", "10-18T12:01", near=["U2"]),
        [(LIFE_OVER, "U1", None, "10-15T00:00")],
    ),
    "two faults, each said once": (
        work("remove", "10-14T10:00") + DRY + work("remove", "10-28T12:01", "U2"),
        [BARE, (LIFE_OVER, "U2", None, "10-15T00:00")],
    ),
    "the bake was still running": (
        DRY + work("remove", "10-15T11:59"),
        [(NOT_BAKED, "U1", None, "10-15T00:00")],
    ),
    "a package was baked, not the board": (bake("10-15T00:00", 48) + work("remove", "10-20T10:00"), [BARE]),
}


@pytest.mark.parametrize(("entries", "expected"), BOARDS.values(), ids=BOARDS)
def test_a_package_that_was_heated_on_the_board(entries: str, expected: list[Told]) -> None:
    assert [told(found) for found in wet_board(job(entries), bench())] == expected


@pytest.mark.parametrize(("since", "expected"), [(19, [BARE]), (20, [BARE]), (21, [])])
def test_boards_are_looked_at_from_a_day_on(since: int, expected: list[Told]) -> None:
    found = wet_board(job(work("remove", "10-20T10:00")), bench(date(2026, 10, since)))
    assert [told(one) for one in found] == expected


@pytest.mark.parametrize(
    ("part", "hour", "expected"),
    [("U1", 11, 21), ("U1", 20, 21), ("U1", 21, None), ("U2", 11, None)],
    ids=["at the first", "before the end of the last", "at its end", "another part"],
)
def test_when_a_bake_that_is_under_way_will_be_over(part: str, hour: int, expected: int | None) -> None:
    bakes = Bakes.of(job(bake("10-15T12:00", 9) + bake("10-15T10:00", 2)).work)
    end = bakes.running(part, datetime(2026, 10, 15, hour))
    assert end == (expected and datetime(2026, 10, 15, expected))
