"""A rework from its removal to the cold reading: each entry that is written down leads to the next step."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import NamedTuple, TypeVar

import pytest

from jobkit.jobs.ball_array import BallArray
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Memory, Package, Point, PointLimit
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.settings import Proof, Settings
from jobkit.jobs.stock import Item, Lot
from jobkit.reckon.progress.next_step import steps_ahead
from jobkit.reckon.progress.plan import Ahead, plan_of
from jobkit.reckon.progress.queue import queue_of
from jobkit.reckon.progress.rework import board_bake, rework_steps
from jobkit.reckon.progress.step import NextStep
from jobkit.units.limit import parse_limit
from tests.reckon.heat.curves import SOUND, through
from tests.reckon.test_queue import STARTED, _job

Made = TypeVar("Made")
DESIGN = Design(
    "boards/alder-a1.toml",
    "alder-a1",
    packages=(Package((), "U6", moisture="3", body_mm=Decimal("1.1"), array=BallArray("A-V", Decimal(14))),),
    memory=(Memory((), "U6", ("6L", "6H")),),
    points=(
        Point((), "VMEM", limits=(PointLimit((), "resistance", "cold", limit=parse_limit("10 Ω .. 60 Ω")),)),
    ),
)
PROOF = Proof(cold_resistance=("VMEM",), function=("picture",))
BENCH = Bench(
    settings=Settings(proof={"graphics card": PROOF}, cooling_minutes=30, board_bake_since=date(2027, 1, 1)),
    stock={"g6": Item(("item", "g6"), "g6", moisture="3", body_mm=Decimal("1.1"))},
    designs={"alder-a1": DESIGN},
)


def work(at: str, did: str, more: str = "") -> str:
    return f'[[work]]\nat = {at}\nminutes = 20\ndid = "{did}"\npart = "U6"\n{more}'


def pad(at: str, ball: str, more: str = "") -> str:
    return f'[[pad]]\nat = {at}\npart = "U6"\nball = "{ball}"\ncarries = "data"\ndamage = "torn-off"\n{more}'


def read(at: str, value: str) -> str:
    return (
        f'[[reading]]\nat = {at}\nstage = "proof"\npoint = "VMEM"\nkind = "resistance"\nstate = "cold"\n'
        f'value = "{value}"\n'
    )


DONE = 'repaired = "film"\n'
READS = DONE + 'reads = "0.2 Ω"\n'
DONOR = '[[used]]\nat = 2026-10-06T15:00:00\npart = "U6"\nitem = "g6"\nfrom = "K26-0016"\n'
BAKE = "[[work]]\nat = 2026-10-06T16:00:00\n" + 'did = "bake"\npart = "U6"\nhours = 9\noven = "125 °C"\n'

STAY = [
    (5, '[cause]\npart = "U6"\n', "fix U6"),
    (
        5,
        work("2026-10-05T09:00:00", "remove", 'removal_alloy = "Sn42Bi58"\n'),
        "prepare the site of U6: clean it of Sn42Bi58",
    ),
    (5, pad("2026-10-05T09:30:00", "B3"), "prepare the site of U6: clean it of Sn42Bi58"),
    (5, work("2026-10-05T10:00:00", "prepare"), "rebuild the pads of U6: B3"),
    (
        5,
        pad("2026-10-05T10:30:00", "C4") + pad("2026-10-05T10:31:00", "D5"),
        "rebuild the pads of U6: B3, C4, D5",
    ),
    (
        6,
        pad("2026-10-06T09:00:00", "B3", READS) + pad("2026-10-06T09:10:00", "C4", DONE),
        "rebuild the pads of U6: D5",
    ),
    (6, pad("2026-10-06T09:20:00", "D5", READS), "measure the rebuilt pads of U6: C4"),
    (6, pad("2026-10-06T09:30:00", "C4", READS), "fit U6"),
    (6, DONOR, "bake U6 from donor K26-0016: 9 h at 125 °C on a tray"),
    (6, BAKE, "fit U6"),
    (7, "", "fit U6 by 2026-10-14, when its floor life ends"),
    (
        7,
        work("2026-10-07T10:00:00", "fit", 'came = "donor"\nalloy = "SAC305"\n'),
        "test it: VMEM resistance, cold (the board is cold from 10:50)",
    ),
    (7, read("2026-10-07T11:00:00", "17 Ω"), "test it: picture"),
]


def told(day: int, text: str, bench: Bench = BENCH) -> tuple[NextStep, Job]:
    job = _job(STARTED + text)
    known = [facts_of(job)]
    (one,) = queue_of(known, {job.path: job}, bench._replace(today=date(2026, 10, day)))
    return one.next, job


def test_the_stay_is_guided_from_step_to_step() -> None:
    text = ""
    for day, entry, step in STAY:
        text += entry
        assert told(day, text)[0].step == step
    assert "no power yet" in told(7, text.replace("17 Ω", "2 Ω"))[0].step


WITHOUT_CAUSE = {
    "test it: VMEM resistance, cold (the board is cold from 10:50)":
        "find the fault: VMEM resistance (the board is cold from 10:50)",
    "test it: picture": "write down the cause, then test it",
}  # fmt: skip
"""What is said instead where the cause is not written down."""


@pytest.mark.parametrize("late", range(1, len(STAY) + 1))
def test_the_stay_is_guided_where_the_cause_is_written_late(late: int) -> None:
    """The cause comes behind the entry of this number: the steps of site, pads, bake and fitting are the same."""
    cause, text = STAY[0][1], ""
    for number, (day, entry, step) in enumerate(STAY[1:], 1):
        text += entry
        assert told(day, text)[0].step == (WITHOUT_CAUSE.get(step, step) if number <= late else step)
        if number == late:
            text += cause
            assert told(day, text)[0].step == step


def test_a_removal_alone_leads_to_a_cold_reading_and_then_to_the_cause_or_back() -> None:
    """The site is clean, no pad is damaged and no cause is known: the board is read without the part, not powered."""
    removed = work("2026-10-05T09:00:00", "remove")
    assert told(5, removed)[0].step == "find the fault: VMEM resistance (the board is cold from 09:50)"
    as_read = removed + read("2026-10-05T11:00:00", "17 Ω")
    assert told(5, as_read)[0].step == "write down the cause, or fit U6 again: no power without it"
    assert told(5, as_read + STAY[0][1])[0].step == "fit U6"
    again = as_read + work("2026-10-05T12:00:00", "fit", 'came = "same"\nalloy = "SAC305"\n')
    assert "find the fault: VMEM resistance" in told(5, again)[0].step


def test_a_package_in_the_oven_is_waited_for() -> None:
    text = "".join(entry for _, entry, _ in STAY[:10])
    assert told(6, text)[0].waits_for == "its bake, until 2026-10-07 01:00"


def test_the_site_is_prepared_while_the_package_bakes() -> None:
    """A plan starts the oven first; the package is fitted when both are ready, within these hours or not."""
    alloy = work("2026-10-05T09:00:00", "remove", 'removal_alloy = "Sn42Bi58"\n')
    first, job = told(6, '[cause]\npart = "U6"\n' + alloy + pad("2026-10-05T09:30:00", "B3") + DONOR)
    bench = BENCH._replace(today=date(2026, 10, 6))
    ahead = Ahead(facts_of(job), steps_ahead(first, job, bench))
    for hours, last in ((4, "measure the rebuilt pads of U6: B3"), (10, "fit U6")):
        planned = plan_of(
            [ahead], Decimal(hours * 60), {"prepare": Decimal(20), "rebuild-pads": Decimal(50)}
        ).planned
        assert [(one.step.did, int(one.start)) for one in planned][:3] == [
            ("bake", 0), ("prepare", 0), ("rebuild-pads", 20),
        ]  # fmt: skip
        assert planned[-1].step.step == last
    assert planned[-1].start == 9 * 60


LEFT = {
    "nothing was removed": ("", []),
    "the cause is not known, and the site is clean": (work("2026-10-05T09:00:00", "remove"), []),
    "the cause is not known, and a pad is torn off": (
        work("2026-10-05T09:00:00", "remove") + pad("2026-10-05T09:30:00", "B3"),
        ["rebuild the pads of U6: B3", "measure the rebuilt pads of U6: B3", "fit U6"],
    ),
    "the cause is not known, and the site is prepared": (
        work("2026-10-05T09:00:00", "remove") + work("2026-10-05T10:00:00", "prepare"),
        ["fit U6"],
    ),
    "a pad that carries nothing": (
        work("2026-10-05T09:00:00", "remove")
        + pad("2026-10-05T09:30:00", "B3").replace('"data"', '"no-connect"'),
        [],
    ),
    "a fan is no soldered part": (work("2026-10-05T09:00:00", "remove").replace("U6", "FAN1"), []),
    "left off on purpose": (
        '[cause]\npart = "U6"\n'
        + work("2026-10-05T09:00:00", "remove")
        + '[[trial]]\nat = 2026-10-05T12:00:00\nrun = "picture"\nresult = "pass"\n',
        [],
    ),
    "the cause is known": ('[cause]\npart = "U6"\n' + work("2026-10-05T09:00:00", "remove"), ["fit U6"]),
}


@pytest.mark.parametrize(("text", "steps"), LEFT.values(), ids=LEFT)
def test_what_is_left_to_do(text: str, steps: list[str]) -> None:
    assert [one.step for one in rework_steps(_job(STARTED + text), BENCH)] == steps


def test_a_job_with_an_outcome_has_no_rework_left() -> None:
    job = _job(STARTED + LEFT["the cause is known"][0])
    assert rework_steps(job._replace(outcome="beyond-repair"), BENCH) == ()


def test_an_open_bag_is_fitted_in_time_or_baked() -> None:
    lots = (Lot((), "a", opened=date(2026, 10, 1)), Lot((), "b"))
    bench = BENCH._replace(stock={"g6": BENCH.stock["g6"]._replace(lots=lots)})
    text = work("2026-10-05T09:00:00", "remove") + DONOR.replace("K26-0016", "stock")
    steps = {
        (lot, day): told(day, f'{text}lot = "{lot}"\n', bench)[0].step for lot in ("a", "b") for day in (8, 9)
    }
    assert steps == {
        ("a", 8): "fit U6 by 2026-10-08, when its floor life ends",
        ("a", 9): "bake U6: 9 h at 125 °C on a tray (floor life over)",
        ("b", 8): "fit U6",
        ("b", 9): "fit U6",
    }


def test_the_board_is_baked_first_where_the_bench_asks_for_it() -> None:
    asks = BENCH._replace(
        settings=BENCH.settings._replace(board_bake_since=date(2026, 10, 1)), today=date(2026, 10, 5)
    )
    job = _job(STARTED + '[cause]\npart = "U6"\n')
    step = board_bake(job, asks)
    assert step == NextStep(
        "bake the board before U6 is heated: 33 h at 90 °C", Decimal(33 * 60), alone=True, did="bake"
    )
    assert told(5, '[cause]\npart = "U6"\n', asks)[0] == step
    baked = (
        '[cause]\npart = "U6"\n[[work]]\nat = 2026-10-05T09:00:00\ndid = "bake"\nhours = 33\noven = "90 °C"\n'
    )
    assert told(7, baked, asks)[0].step == "fix U6"
    assert board_bake(job, BENCH._replace(today=date(2026, 10, 5))) is None


FIT = work("2026-10-07T10:00:00", "fit", 'alloy = "SAC305"\nheat = "heat.csv"\n').replace(
    'part = "U6"', 'part = "U6"\nprobe = { t1 = "U6 joint" }'
)
WAIVED = '[[waive]]\nrule = "heat-outside"\nwhy = "seen in X-ray"\n'
AGAIN = work("2026-10-07T12:00:00", "reflow", 'alloy = "SAC305"\n')


class OneFile(NamedTuple):
    """The files of a book that has one."""

    path: str
    content: bytes
    are_at_hand: bool = True

    def made_of(self, path: str, make: Callable[[bytes], Made]) -> Made | None:
        return make(self.content) if path == self.path else None

    def why_unread(self, path: str) -> str:
        del path
        return ""


@pytest.mark.parametrize(
    ("lower", "more", "steps"),
    [
        (30.0, "", ["solder U6 again: U6 joint peak 210.0 °C, limit >= 230 °C"]),
        (0.0, "", []),
        (30.0, AGAIN, []),
        (30.0, WAIVED, []),
    ],
    ids=["cold", "sound", "soldered again", "waived"],
)
def test_a_part_with_a_cold_joint_is_soldered_again(lower: float, more: str, steps: list[str]) -> None:
    job = _job(STARTED + FIT + more)
    rows = "".join(f"{time:g},{value - lower:.1f}\n" for time, value in through(SOUND))
    path = attachment_path(job.path, "heat.csv")
    bench = BENCH._replace(contents=OneFile(path, f"time,t1 (°C)\n{rows}".encode()))
    assert [one.step for one in rework_steps(job, bench)] == steps
