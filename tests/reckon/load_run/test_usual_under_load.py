"""What good boards reach under load, and a board with a dry pad against that."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from math import exp
from typing import TypeVar

import pytest

from jobkit.book.logs.trouble import LogTrouble
from jobkit.book.read.load import load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.reckon.load_run.run import Run
from jobkit.reckon.load_run.trial import run_of_content
from jobkit.reckon.load_run.usual_under_load import (
    PER_WATT,
    RISE,
    TIME_CONSTANT,
    AgainstUsual,
    against_usual_load,
    usual_under_load,
)
from jobkit.units.quantity import parse_quantity

_Made = TypeVar("_Made")

JOB = """\
format = 1
id = "K26-{number:04}"
client = "c-1"
title = "t"
outcome = "{outcome}"
[board]
kind = "graphics card"
design = "rowan-r3"
serial = "S{number}"
[intake]
complaint = "c"
[dates]
received = 2026-10-01
finished = 2026-10-07
[[reading]]
stage = "proof"
point = "VMEM"
kind = "resistance"
value = "17 Ω"
[[trial]]
at = 2026-10-06T10:00:00
run = "load run"
result = "pass"
minutes = 30
ambient = "{room} °C"
log = "load.csv"
"""


def a_log(rise: float, room: float, tau: float = 140, minutes: int = 30, watts: int = 200) -> bytes:
    rows = [
        f"{20 * row},{room + rise - rise * exp(-20 * row / tau):.2f},{watts if row else 18},1650"
        for row in range(3 * minutes + 1)
    ]
    return "\n".join(["time,hot spot,power,fan", *rows, ""]).encode()


class Files:
    """The logs of the boards, by job."""

    are_at_hand = True

    def __init__(self, logs: dict[int, bytes]) -> None:
        self._logs = {f"jobs/2026/K26-{number:04}/load.csv": log for number, log in logs.items()}

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        return make(self._logs[path]) if path in self._logs else None

    def why_unread(self, path: str) -> str:
        del path
        return ""


def a_job(number: int, room: int = 22, outcome: str = "repaired") -> Facts:
    text = JOB.format(number=number, room=room, outcome=outcome)
    loaded = load_job(f"jobs/2026/K26-{number:04}.toml", text.encode())
    assert loaded.job is not None
    assert loaded.troubles == ()
    return facts_of(loaded.job)


RISES = {1: 60.0, 2: 61.0, 3: 62.0, 4: 63.0, 5: 64.0}
ROOMS = {1: 18, 2: 20, 3: 22, 4: 24, 5: 26}
FACTS = [a_job(number, room) for number, room in ROOMS.items()]
BENCH = Bench(contents=Files({number: a_log(rise, ROOMS[number]) for number, rise in RISES.items()}))


def a_run(content: bytes) -> Run:
    run = run_of_content(content)
    assert not isinstance(run, LogTrouble)
    return run


def test_the_weather_is_left_out_of_what_good_boards_reach() -> None:
    rows = {(one.sensor, one.figure): one for one in usual_under_load("rowan-r3", FACTS, BENCH)}
    rise = rows["hot spot", RISE]
    assert [job for job, _ in rise.reached] == [one.id for one in FACTS]
    assert [float(value) for _, value in rise.reached] == pytest.approx(list(RISES.values()), abs=0.02)
    assert float(rise.moments.mean) == pytest.approx(62, abs=0.02)
    assert float(rows["hot spot", PER_WATT].moments.mean) == pytest.approx(62 / 200, rel=1e-3)
    assert float(rows["hot spot", TIME_CONSTANT].moments.mean) == pytest.approx(140, rel=1e-2)
    # Five values, sd 1.5811: mean ± 5.08 sd holds 95 % with 95 % confidence (Berthouex and Brown, table 21.1).
    assert rise.interval is not None
    assert float(rise.interval.high) == pytest.approx(62 + 5.08 * 1.5811, abs=0.05)


def against(log: bytes, room: str = "22 °C") -> dict[str, AgainstUsual]:
    learned = usual_under_load("rowan-r3", FACTS, BENCH)
    return {one.usual.figure: one for one in against_usual_load(a_run(log), parse_quantity(room), learned)}


@pytest.mark.parametrize(
    ("log", "room", "stands", "beyond", "at_least"),
    [
        (a_log(62, 22), "22 °C", "usual", 0.0, False),
        (a_log(79, 22), "22 °C", "high", 9.0, False),
        (a_log(79, 30), "30 °C", "high", 9.0, False),
        (a_log(40, 22), "22 °C", "low", 14.0, False),
        (a_log(100, 22, minutes=4), "22 °C", "high", None, True),
        (a_log(62, 22, minutes=4), "22 °C", "", 0.0, True),
    ],
    ids=["as the others", "a dry pad", "on a hot day", "a better cooler", "hot before it settles", "not settled"],
)  # fmt: skip
def test_a_board_against_good_ones(
    log: bytes,
    room: str,
    stands: str,
    beyond: float | None,
    at_least: bool,  # noqa: FBT001 - a row of the table
) -> None:
    rise = against(log, room)[RISE]
    assert (rise.stands, rise.at_least) == (stands, at_least)
    if beyond is not None:
        assert float(rise.beyond) == pytest.approx(beyond, abs=0.1)


def test_the_board_itself_does_not_count_and_three_boards_are_too_few() -> None:
    rows = usual_under_load("rowan-r3", FACTS, BENCH, but=FACTS[0])
    assert all(FACTS[0].id not in [job for job, _ in one.reached] for one in rows)
    few = usual_under_load("rowan-r3", FACTS[:3], BENCH)
    (rise, *_) = against_usual_load(a_run(a_log(99, 22)), parse_quantity("22 °C"), few)
    assert (rise.stands, rise.beyond) == ("", Decimal(0))


@pytest.mark.parametrize(
    "facts",
    [[a_job(1, outcome="beyond-repair")], [a_job(9)], []],
    ids=["beyond repair", "log gone", "none"],
)
def test_boards_that_tell_nothing(facts: list[Facts]) -> None:
    assert usual_under_load("rowan-r3", facts, BENCH) == ()


def test_without_the_room_s_temperature_only_the_time_constant_is_compared() -> None:
    learned = usual_under_load("rowan-r3", FACTS, BENCH)
    found = against_usual_load(a_run(a_log(62, 22)), None, learned)
    assert [one.usual.figure for one in found] == [TIME_CONSTANT]
