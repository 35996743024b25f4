"""What speaks against power on a cold board: what was not read since the soldering, reads outside, or too near."""

from __future__ import annotations

from decimal import Decimal

import pytest

from jobkit.book.read.bench import read_meters
from jobkit.book.read.board import read_design
from jobkit.book.read.load import document, load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Proof, Settings
from jobkit.reckon.suspects.before_power import SUPPLY_RESISTANCE, ColdState, TooNear, cold_state
from jobkit.units.verdict import Decision
from tests.lint.laid import BOOK

METERS = """
format = 1
[[meter]]
name = "dmm-1"
range = [{ kind = "resistance", upto = "2 kΩ", counts = 100, step = "0.01 Ω" }]
[[meter]]
name = "half"
range = [{ kind = "resistance", upto = "2 kΩ", counts = 50, step = "0.01 Ω" }]
[[meter]]
name = "more than half"
range = [{ kind = "resistance", upto = "2 kΩ", counts = 51, step = "0.01 Ω" }]
[[meter]]
name = "none"
"""


def bench(points: tuple[str, ...] = ("VCORE", "VMEM")) -> Bench:
    board, meters = document((BOOK / "boards/wick-w1.toml").read_bytes())[0], document(METERS.encode())[0]
    assert board is not None
    assert meters is not None
    return Bench(
        Settings(
            proof={"graphics card": Proof(cold_resistance=points)} if points else {},
            decision=Decision(rule="guarded", k=Decimal(2)),
        ),
        designs={"wick-w1": read_design("boards/wick-w1.toml", board)[0]},
        meters=read_meters(meters)[0],
    )


def job(entries: str, design: str = "wick-w1") -> Job:
    named = f'design = "{design}"\n' if design else ""
    text = (
        f'format = 1\nid = "K26-0001"\nclient = "c-1"\ntitle = "t"\n[board]\nkind = "graphics card"\n{named}'
        f'[intake]\ncomplaint = "c"\n[dates]\nreceived = 2026-09-01\n{entries}'
    )
    loaded = load_job("jobs/2026/K26-0001.toml", text.encode())
    assert loaded.troubles == ()
    assert loaded.job is not None
    return loaded.job


def at(hour: int | None) -> str:
    return "" if hour is None else f"at = 2026-10-05T{hour:02}:00:00\n"


def read(point: str, value: str, hour: int | None = 12, state: str = "cold", more: str = "") -> str:
    return (
        f'[[reading]]\n{at(hour)}point = "{point}"\nkind = "resistance"\nvalue = "{value}"\n'
        f'state = "{state}"\n{more}'
    )


def soldered(part: str = "U1", hour: int = 11) -> str:
    return f'[[work]]\n{at(hour)}did = "fit"\npart = "{part}"\n'


def compared(good: bool, hour: int | None = 12) -> str:  # noqa: FBT001 - the one thing that is said
    return (
        f'[[seen]]\n{at(hour)}check = "{SUPPLY_RESISTANCE}"\n{"passed" if good else "failed"} = ["VCORE"]\n'
    )


BOTH = read("VCORE", "0.4 Ω") + read("VMEM", "23 Ω")
NEAR = read("VMEM", "10.5 Ω", more='meter = "dmm-1"\n')  # U = 1 Ω

STATES: dict[str, tuple[str, ColdState]] = {
    "nothing read": ("", ColdState(("VCORE", "VMEM"))),
    "all read": (BOTH, ColdState()),
    "read warm": (read("VCORE", "0.4 Ω", state="warm") + read("VMEM", "23 Ω"), ColdState(("VCORE",))),
    "read against another point": (
        read("VCORE", "0.4 Ω", more='to = "V12"\n') + read("VMEM", "23 Ω"),
        ColdState(("VCORE",)),
    ),
    "one outside": (read("VCORE", "0.1 Ω") + read("VMEM", "23 Ω"), ColdState((), ("VCORE",))),
    "another point outside": (BOTH + read("V12", "100 Ω"), ColdState((), ("V12",))),
    "outside, then inside": (read("V12", "100 Ω", 10) + BOTH + read("V12", "300 Ω"), ColdState()),
    "too near": (
        read("VCORE", "0.4 Ω") + NEAR,
        ColdState((), (), (TooNear("VMEM", ("half",)),)),
    ),
    "read before the soldering": (BOTH + soldered("U99", 13), ColdState(("VCORE", "VMEM"))),
    "read at its minute": (soldered("U99", 12) + BOTH, ColdState()),
    "read at no known time": (
        soldered("U99") + read("VCORE", "0.4 Ω", None) + read("VMEM", "23 Ω", None),
        ColdState(),
    ),
    "what was cleaned is not what was soldered": (
        f'[[work]]\n{at(11)}did = "clean"\npart = "U20"\n' + BOTH,
        ColdState(),
    ),
    "the rail of what was soldered": (soldered("U20") + BOTH, ColdState(("V5",))),
    "and it was read": (soldered("U20") + BOTH + read("V5", "400 Ω"), ColdState()),
    "outside before the soldering": (read("V5", "9 Ω", 10) + soldered("U99") + BOTH, ColdState(("V5",))),
    "too near before it": (
        read("V12", "200.5 Ω", 10, more='meter = "dmm-1"\n') + soldered("U99") + BOTH,
        ColdState(("V12",)),
    ),
    "inside before it": (read("V5", "400 Ω", 10) + soldered("U99") + BOTH, ColdState()),
}


@pytest.mark.parametrize(("entries", "expected"), STATES.values(), ids=STATES)
def test_a_board_with_limits(entries: str, expected: ColdState) -> None:
    found = cold_state(job(entries), bench())
    assert found == expected
    assert found.allows_power == (expected == ColdState())
    assert found.to_read == {*expected.unread, *(one.point for one in expected.near)}
    assert found.is_read == found.allows_power


def test_without_a_policy_every_point_with_a_limit_is_read() -> None:
    assert cold_state(job(""), bench(())).unread == ("VCORE", "VMEM", "V12", "V5")


def test_points_of_the_policy_that_the_board_does_not_have_are_not_asked_for() -> None:
    assert cold_state(job(""), bench(("VMEM", "VMEM2"))).unread == ("VMEM",)


# Of a board without limits; what is to be read, and whether all is that can be.
BARE = {
    "nothing compared": ("", (SUPPLY_RESISTANCE,), True),
    "compared, and good": (compared(good=True), (), True),
    "another check": (
        compared(good=True).replace(SUPPLY_RESISTANCE, "picture"),
        (SUPPLY_RESISTANCE,),
        True,
    ),
    "looked at, and nothing said": (
        f'[[seen]]\n{at(12)}check = "{SUPPLY_RESISTANCE}"\n',
        (SUPPLY_RESISTANCE,),
        True,
    ),
    "compared, and bad": (compared(good=False), (SUPPLY_RESISTANCE,), True),
    "good, then bad": (compared(good=True) + compared(good=False), (SUPPLY_RESISTANCE,), True),
    "good before the soldering": (compared(good=True, hour=10) + soldered(), (SUPPLY_RESISTANCE,), True),
    "good at its minute": (soldered() + compared(good=True, hour=11), (), True),
    "good at no known time": (soldered() + compared(good=True, hour=None), (), True),
    "within a limit of its own": (read("X", "9 Ω", more='limit = ">= 1 Ω"\n'), (), True),
    "read, without a limit": (read("X", "9 Ω"), (SUPPLY_RESISTANCE,), True),
}


@pytest.mark.parametrize(("entries", "unread", "is_read"), BARE.values(), ids=BARE)
def test_a_board_without_limits(entries: str, unread: tuple[str, ...], *, is_read: bool) -> None:
    found = cold_state(job(entries, ""), bench(()))
    assert (found.unread, found.is_read, found.allows_power) == (unread, is_read, not unread)
