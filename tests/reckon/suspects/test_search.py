"""The search on a small board: what each sort of evidence does, and what is said of bad input."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from time import perf_counter
from typing import Any

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Check, Design, Memory, Point, PointLimit, PossibleCause, Rail
from jobkit.jobs.entries import Inject, Pad, Reading, Seen, Trial, Work
from jobkit.jobs.job import Board, Intake, Job
from jobkit.jobs.meter import Meter, Range
from jobkit.jobs.settings import Proof, Settings
from jobkit.reckon.suspects.past_causes import PastJob
from jobkit.reckon.suspects.possible_checks import possible_checks
from jobkit.reckon.suspects.ranking import Search
from jobkit.reckon.suspects.search import search
from jobkit.units.accuracy import Accuracy
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity
from jobkit.units.verdict import Decision

MORNING, NOON, EVENING = (datetime(2026, 11, 2, hour) for hour in (9, 12, 18))

DESIGN = Design(
    "boards/alder-a1.toml",
    "alder-a1",
    "graphics card",
    rails=(Rail((), "VMEM", feeds=("U1", "U2")), Rail((), "V12", feeds=("Q1",))),
    points=(
        Point((), "VMEM", "coil L7", "VMEM", limits=(
            PointLimit((), "resistance", "cold", limit=parse_limit("10 Ω .. 60 Ω")),
            PointLimit((), "voltage", "powered", limit=parse_limit("1.35 V ± 3 %")),
        )),
        Point((), "V12", "pin 2", "V12", limits=(
            PointLimit((), "resistance", "cold", limit=parse_limit(">= 200 Ω")),
        )),
    ),
    memory=(Memory((), "U1", ("1L", "1H")), Memory((), "U2", ("2L", "2H"))),
    causes=(
        PossibleCause((), "a power stage", "Q1", Decimal(4), (("V12", Decimal("0.9")), ("picture", Decimal(1)))),
        PossibleCause((), "firmware", "U31", Decimal(1), (("picture", Decimal("0.9")),)),
        PossibleCause((), "a scratch", None, Decimal(1)),
    ),
    checks=(
        Check((), "picture", Decimal(5), "powered", how="any screen"),
        Check((), "memory test", Decimal(10), "powered"),
        Check((), "eye", None, "cold"),
    ),
    parts=("Q1", "U31"),
)  # fmt: skip


BENCH = Bench(designs={"alder-a1": DESIGN})


def _search(past: tuple[PastJob, ...] = (), proof: tuple[str, ...] = (), **entries: Any) -> Search:
    bench = Bench(
        Settings(proof={"graphics card": Proof(cold_resistance=proof)} if proof else {}),
        designs={"alder-a1": DESIGN},
    )
    board = Board("graphics card", "alder-a1")
    return search(Job("jobs/2026/K26-0001.toml", "K26-0001", board=board, **entries), bench, past)


def _probability(found: Search, cause: str) -> float:
    return next(one.probability for one in found.suspects if one.candidate.name == cause)


def _reading(point: str, kind: str, value: str, at: datetime = MORNING, **more: Any) -> Reading:
    state = "powered" if kind == "voltage" else "cold"
    return Reading((), at, None, "work", point, kind, parse_quantity(value, kind), None, state, **more)


def _seen(failed: str = "", passed: str = "", check: str = "memory test", at: datetime = MORNING) -> Seen:
    return Seen((), at, None, check, tuple(passed.split()), tuple(failed.split()))


def test_a_failure_raises_what_affects_it_and_a_pass_lowers_it() -> None:
    prior = _probability(_search(), "firmware")
    failed = _search(seen=(_seen("desktop", check="picture"),))
    passed = _search(seen=(_seen("", "desktop", check="picture"),))
    assert _probability(passed, "firmware") < prior < _probability(failed, "firmware")
    assert [one.words for one in failed.suspects[0].supports] == ["picture failed"]


def test_what_passed_counts_against_a_package() -> None:
    alone = _search(seen=(_seen("1L", "1H"),))
    both = _search(seen=(_seen("1L 1H"),))
    assert _probability(alone, "U1 or its joints") < _probability(both, "U1 or its joints")
    assert alone.suspects[0].candidate.name.startswith("one channel of U1")


def test_low_and_high_are_told_apart() -> None:
    low = _search(readings=(_reading("VMEM", "resistance", "1 Ω"),))
    high = _search(readings=(_reading("VMEM", "resistance", "90 Ω"),))
    assert _probability(low, "U1 or its joints") > 0.2 > _probability(high, "U1 or its joints")
    assert low.suspects[0].supports[0].words == "VMEM resistance 1 Ω, low"


def test_a_part_that_is_off_the_board_is_not_what_pulls_a_rail_down() -> None:
    on = _search(readings=(_reading("VMEM", "resistance", "1 Ω"),))
    limit = parse_limit("10 Ω .. 60 Ω")
    shorted = _reading("VMEM", "resistance", "1 Ω", removed=("U1",))._replace(limit=limit)
    off = _search(readings=(shorted,))
    assert _probability(off, "U1 or its joints") < _probability(on, "U1 or its joints")
    assert _probability(off, "U2 or its joints") > _probability(on, "U2 or its joints")


def test_the_part_that_warms_first() -> None:
    found = _search(
        readings=(_reading("V12", "resistance", "0.4 Ω"),),
        injections=(Inject((), MORNING, None, "V12", hottest="Q1"),),
    )
    assert found.suspects[0].candidate.name == "a power stage"
    assert found.suspects[0].probability > 0.95


def test_a_trial_is_evidence() -> None:
    found = _search(trials=(Trial((), MORNING, run="picture", result="fail"),))
    assert found.suspects[0].candidate.name == "a power stage"


def test_a_part_that_was_replaced_in_vain_loses_weight() -> None:
    work = (Work((), NOON, did="swap", part="Q1", came="new"),)
    before = _search(seen=(_seen("desktop", check="picture", at=EVENING),))
    after = _search(seen=(_seen("desktop", check="picture", at=EVENING),), work=work)
    assert _probability(after, "a power stage") < _probability(before, "a power stage")
    stage = next(one for one in after.suspects if one.candidate.name == "a power stage")
    assert stage.replaced == "replaced on 2026-11-02, and picture failed after it"


def test_a_failure_from_before_the_repair_is_set_aside() -> None:
    found = _search(
        readings=(_reading("V12", "resistance", "0.4 Ω", MORNING),),
        work=(Work((), NOON, did="swap", part="Q1", came="new"),),
    )
    assert [one.observed.words for one in found.observations.set_aside] == ["V12 resistance 0.4 Ω, low"]
    assert found.findings == ()


def test_a_contradiction_is_named_and_the_later_one_counts() -> None:
    found = _search(seen=(_seen("1L", at=MORNING), _seen("", "1L", at=NOON)))
    assert [one.later.words for one in found.observations.contradictions] == ["1L passed"]
    assert all(not one.supports for one in found.suspects)


def test_work_between_is_no_contradiction() -> None:
    seen = (_seen("1L", at=MORNING), _seen("", "1L", at=EVENING))
    found = _search(seen=seen, work=(Work((), NOON, did="reflow", part="U1"),))
    assert found.observations.contradictions == ()


def test_a_reading_near_its_limit_or_unsettled_tells_nothing() -> None:
    assert _search(readings=(_reading("V12", "resistance", "0.4 Ω", settled=False),)).findings == ()


def test_torn_pads_lead() -> None:
    pads = (Pad((), NOON, None, "U1", "A1", "data", "torn-off"),)
    found = _search(
        seen=(_seen("1L 1H", "2L 2H"),),
        pads=pads,
        intake=Intake("dark", None, ("U1 was reballed",), "certain"),
    )
    assert [one.candidate.name for one in found.suspects[:2]] == [
        "damaged pads of U1: A1 torn-off",
        "joints of U1, worked on elsewhere before",
    ]


@pytest.mark.parametrize(("fitted", "named"), [(False, False), (True, True)], ids=["off", "on again"])
def test_a_package_that_is_off_the_board_has_no_joints(*, fitted: bool, named: bool) -> None:
    dids = ("remove", "rebuild-pads", *(("fit",) if fitted else ()))
    work = tuple(Work(("work", row), MORNING, did=did, part="U1") for row, did in enumerate(dids))
    found = _search(seen=(_seen("1L 1H", "2L 2H"),), work=work)
    assert (
        any(one.candidate.name.startswith("joints of U1, soldered here") for one in found.suspects) is named
    )


def test_finished_jobs_of_the_design_count_as_weight() -> None:
    past = tuple(PastJob(f"K26-00{n}", "2026-05-01", "firmware", "", "") for n in range(10, 20))
    none, ten = _search(), _search(past)
    assert _probability(ten, "firmware") > _probability(none, "firmware")
    assert next(one.past for one in ten.suspects if one.candidate.name == "firmware") == 10


def test_the_job_itself_does_not_count() -> None:
    past = (PastJob("K26-0001", "2026-05-01", "firmware", "", ""),)
    assert _search(past).past_jobs == 0


def test_powered_checks_wait_for_the_cold_readings() -> None:
    found = _search(proof=("V12", "VMEM"), seen=())
    assert found.cold.unread == ("V12", "VMEM")
    assert {one.check.state for one in found.next} == {"cold"}
    assert "picture" in {one.check.name for one in found.held_back}
    read = (_reading("V12", "resistance", "900 Ω"), _reading("VMEM", "resistance", "22 Ω"))
    after = _search(proof=("V12", "VMEM"), readings=read)
    assert after.cold.allows_power
    assert "picture" in {one.check.name for one in after.next}


def test_a_rail_that_reads_outside_forbids_power() -> None:
    read = (_reading("V12", "resistance", "0.4 Ω"), _reading("VMEM", "resistance", "22 Ω"))
    found = _search(proof=("V12", "VMEM"), readings=read)
    assert found.cold.outside == ("V12",)
    assert "powered" not in {one.check.state for one in found.next}
    assert "picture" in {one.check.name for one in found.held_back}


def test_what_was_checked_is_not_proposed_again() -> None:
    found = _search(seen=(_seen("desktop", check="picture"),))
    assert "picture" not in {one.check.name for one in found.next}


def test_a_check_that_no_cause_affects_is_not_proposed() -> None:
    assert "eye" not in {one.check.name for one in _search().next}


def test_minutes_that_nothing_tells_are_assumed_and_marked() -> None:
    found = {one.name: one for one in possible_checks(_search().job, BENCH, set(), set())}
    assert (found["eye"].minutes, found["eye"].is_assumed) == (10, True)
    assert (found["picture"].minutes, found["picture"].is_assumed) == (5, False)


def test_a_failure_that_no_cause_affects_is_named() -> None:
    found = _search(trials=(Trial((), MORNING, run="fan run", result="fail"),))
    assert [one.words for one in found.unexplained] == ["fan run failed"]


def test_a_name_that_nothing_has_is_named() -> None:
    found = _search(seen=(_seen("9L"),))
    assert found.observations.unknown == ("9L",)


def test_a_probability_of_one_is_taken_as_a_little_less() -> None:
    passed = _search(seen=(_seen("", "desktop", check="picture"),))
    assert passed.capped == 1
    assert _probability(passed, "a power stage") > 0


def test_a_cause_that_affects_nothing_keeps_to_its_prior() -> None:
    prior = _probability(_search(), "a scratch")
    failed = _probability(_search(seen=(_seen("1L 1H"),)), "a scratch")
    assert failed == pytest.approx(prior, rel=0.25)


def test_rails_that_are_made_from_each_other_are_no_trouble() -> None:
    rails = (
        Rail((), "A", feeds=("U1", "U2"), made_from="B"),
        Rail((), "B", feeds=("U1", "U2"), made_from="A"),
    )
    design = DESIGN._replace(rails=rails)
    bench = Bench(designs={"alder-a1": Design(*design)})
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=Board("graphics card", "alder-a1"))
    assert search(job, bench).suspects


@pytest.mark.slow
def test_two_hundred_causes_and_two_hundred_checks_take_less_than_a_second() -> None:
    names = [f"check {place}" for place in range(200)]
    affects = [tuple((name, Decimal("0.3")) for name in names[first::7]) for first in range(7)]
    causes = tuple(PossibleCause((), f"cause {n}", f"X{n}", Decimal(1), affects[n % 7]) for n in range(200))
    checks = tuple(Check((), name, Decimal(5), "cold") for name in names)
    design = Design("boards/alder-a1.toml", "alder-a1", "graphics card", causes=causes, checks=checks)
    seen = tuple(_seen("x" if n % 2 else "", "" if n % 2 else "x", check=names[n]) for n in range(100))
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=Board("graphics card", "alder-a1"), seen=seen)
    start = perf_counter()
    found = search(job, Bench(designs={"alder-a1": design}))
    assert len(found.suspects) == 200
    assert found.next
    assert perf_counter() - start < 1


def test_after_soldering_the_rails_of_the_part_are_read_before_power() -> None:
    work = (Work((), NOON, did="reflow", part="U1"),)
    read = (_reading("V12", "resistance", "900 Ω", EVENING),)
    assert _search(proof=("V12",), readings=read, work=work).cold.unread == ("VMEM",)


def test_a_board_without_a_board_file_has_general_causes() -> None:
    seen = (_seen("", "x", check="memory test"),)
    trials = (Trial((), MORNING, run="load run", result="fail"),)
    board = Board("graphics card")
    found = search(Job("jobs/2026/K26-0001.toml", "K26-0001", board=board, seen=seen, trials=trials), Bench())
    assert not found.documented
    assert found.suspects[0].candidate.name == "cooling: fan, paste or pads"


def test_any_rail_that_reads_outside_forbids_power() -> None:
    read = (_reading("V12", "resistance", "900 Ω"), _reading("VMEM", "resistance", "0.4 Ω"))
    found = _search(proof=("V12",), readings=read)
    assert found.cold.outside == ("VMEM",)
    assert "powered" not in {one.check.state for one in found.next}


def test_a_rail_that_read_outside_before_the_soldering_is_read_again() -> None:
    read = (_reading("VMEM", "resistance", "0.4 Ω"), _reading("V12", "resistance", "900 Ω", EVENING))
    found = _search(proof=("V12",), readings=read, work=(Work((), NOON, did="swap", part="Q1"),))
    assert found.cold.unread == ("VMEM",)


def test_a_reading_near_its_limit_forbids_power_and_is_taken_again_first() -> None:
    step = parse_quantity("0.01 Ω")
    reach = parse_quantity("220 Ω")

    def meter(name: str, percent: int) -> Meter:
        accuracy = Accuracy(Decimal(percent), Decimal(1), step)
        return Meter((), name, ranges=(Range((), "resistance", reach, accuracy),))

    coarse, fine = meter("coarse", 5), meter("fine", 1)
    read = (
        _reading("V12", "resistance", "900 Ω"),
        _reading("VMEM", "resistance", "9.9 Ω")._replace(meter="coarse"),
    )
    bench = Bench(
        Settings(decision=Decision("guarded")),
        designs={"alder-a1": DESIGN},
        meters={"coarse": coarse, "fine": fine},
    )
    board = Board("graphics card", "alder-a1")
    found = search(Job("jobs/2026/K26-0001.toml", "K26-0001", board=board, readings=read), bench)
    assert found.cold.near == (("VMEM", ("fine",)),)
    assert found.next[0].check.name == "VMEM resistance"
    assert "powered" not in {one.check.state for one in found.next}


def test_without_a_policy_every_point_with_a_limit_is_read_before_power() -> None:
    assert _search().cold.unread == ("VMEM", "V12")


@pytest.mark.parametrize("kind", ["toaster card", "graphics card", None])
def test_a_board_without_limits_is_compared_before_power(kind: str | None) -> None:
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=Board(kind))
    found = search(job, Bench())
    assert found.cold.unread == ("supply resistance",)
    assert {one.check.state for one in found.next} == {"cold"}
    assert "supply resistance" in {one.check.name for one in found.next}
    assert "on the bus" in {one.check.name for one in found.held_back}
    compared = job._replace(seen=(_seen("", "V12", check="supply resistance"),))
    assert "on the bus" in {one.check.name for one in search(compared, Bench()).next}


def test_a_reading_that_nothing_judges_does_not_allow_power() -> None:
    bench = Bench(Settings(proof={"graphics card": Proof(cold_resistance=("V12",))}))
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=Board("graphics card"))
    found = search(job._replace(readings=(_reading("V12", "resistance", "0.4 Ω"),)), bench)
    assert found.cold.unread == ("supply resistance",)


def test_an_injection_is_proposed_onto_a_rail_that_reads_low() -> None:
    design = DESIGN._replace(checks=(*DESIGN.checks, Check((), "inject", Decimal(15), "cold")))
    bench = Bench(designs={"alder-a1": Design(*design)})
    board = Board("graphics card", "alder-a1")
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=board)
    assert "inject" not in {one.check.name for one in search(job, bench).next}
    low = job._replace(readings=(_reading("V12", "resistance", "0.4 Ω"),))
    inject = next(one.check for one in search(low, bench).next if one.check.name == "inject")
    assert [one.name for one in inject.symptoms] == ["Q1 warms first"]
    assert inject.how.startswith("into V12, no more volts than")
    made = low._replace(injections=(Inject((), NOON, None, "V12", hottest="Q1"),))
    assert "inject" not in {one.check.name for one in search(made, bench).next}
