"""A plan for half a day: what runs unattended first, promises next, and only as much as fits."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.pages.bench.plan import plan_blocks, plan_data
from jobkit.pages.blocks import Line, Table
from jobkit.reckon.progress.next_step import steps_ahead
from jobkit.reckon.progress.plan import ASSUMED, Ahead, Plan, plan_of, usual_minutes
from jobkit.reckon.progress.step import NextStep
from tests.books import EXAMPLE
from tests.conftest import Run
from tests.reckon.test_queue import BENCH, CLEANED, FIXED, PICTURE, _job

ON = date(2026, 10, 20)


def facts(number: int, promised: str = "") -> Facts:
    more = f"promised = {promised}\n" if promised else ""
    return facts_of(_job(more, f"K26-{number:04}"))


def hands(step: str, minutes: int | None = None) -> NextStep:
    return NextStep(step, None if minutes is None else Decimal(minutes))


def runs(step: str, minutes: int) -> NextStep:
    return NextStep(step, Decimal(minutes), alone=True)


def told(plan: Plan) -> list[str]:
    return [f"{one.start}-{one.end} {one.facts.id[-1]} {one.step.step}" for one in plan.planned]


def planned(*ahead: Ahead, hours: int = 4) -> list[str]:
    return told(plan_of(ahead, Decimal(hours) * 60, {}))


LOADED = (runs("load run", 30), hands("final clean", 10), hands("pack", 15))


@pytest.mark.parametrize(
    ("ahead", "hours", "plan"),
    [
        pytest.param([], 4, [], id="nothing to do"),
        pytest.param([Ahead(facts(1), [])], 4, [], id="a job that waits"),
        pytest.param(
            [Ahead(facts(1), [hands("find", 20)]), Ahead(facts(2), LOADED)],
            4,
            ["0-30 2 load run", "0-20 1 find", "30-40 2 final clean", "40-55 2 pack"],
            id="a run is started before anything else is done, and the rest of its job follows it",
        ),
        pytest.param(
            [Ahead(facts(1), LOADED[:1]), Ahead(facts(2), LOADED[:1]), Ahead(facts(3), [hands("find", 45)])],
            4,
            ["0-30 1 load run", "0-45 3 find", "45-75 2 load run"],
            id="one run at a time, and it is started between two pieces of work",
        ),
        pytest.param(
            [Ahead(facts(1), [hands("read cold", 5)], Decimal(40)), Ahead(facts(2), [hands("find", 30)])],
            1,
            ["0-30 2 find", "40-45 1 read cold"],
            id="a board that is still warm comes when it is cold",
        ),
        pytest.param(
            [
                Ahead(facts(1), [hands("find", 50)]),
                Ahead(facts(2), [hands("fix", 20)]),
                Ahead(facts(3), [hands("pack", 10)]),
            ],
            1,
            ["0-50 1 find", "50-60 3 pack"],
            id="what does not fit is left for another day",
        ),
        pytest.param(
            [Ahead(facts(1), [hands("find")])],
            1,
            [f"0-{ASSUMED} 1 find"],
            id="minutes that nothing tells are assumed",
        ),
    ],
)
def test_the_order_of_a_plan(ahead: list[Ahead], hours: int, plan: list[str]) -> None:
    assert planned(*ahead, hours=hours) == plan


_STEPS = st.lists(
    st.one_of(
        st.builds(hands, st.just("x"), st.integers(1, 90)), st.builds(runs, st.just("y"), st.integers(1, 90))
    )
)


@given(st.lists(st.tuples(_STEPS, st.integers(0, 120)), max_size=6), st.integers(1, 8))
def test_what_every_plan_keeps_to(jobs: list[tuple[list[NextStep], int]], hours: int) -> None:
    """Two hands do one thing at a time, one computer runs one board, and a board's steps follow one another."""
    ahead = [Ahead(facts(n), steps, Decimal(cold)) for n, (steps, cold) in enumerate(jobs)]
    plan = plan_of(ahead, Decimal(hours * 60), {})
    for alone in (False, True):
        of_kind = [one for one in plan.planned if one.step.alone is alone]
        assert all(one.end <= other.start for one, other in pairwise(of_kind))
    for of_job in ahead:
        mine = [one for one in plan.planned if one.facts == of_job.facts]
        assert [one.step for one in mine] == list(of_job.steps[: len(mine)])
        assert all(one.end <= other.start for one, other in pairwise(mine))
        assert not mine or mine[0].start >= of_job.cold_in
    assert all(one.end <= hours * 60 for one in plan.planned if not one.step.alone)
    assert all(one.start < hours * 60 for one in plan.planned)


def test_the_release_list_is_seen_to_its_end() -> None:
    job = _job(FIXED)
    first = hands("test it: picture", 5)
    assert [one.step for one in steps_ahead(first, job, BENCH)] == [
        "test it: picture", "test it: load run, 30 min", "test it: final clean", "pack it and send it",
    ]  # fmt: skip


def test_behind_a_fault_that_is_not_found_nothing_is_seen() -> None:
    step = hands("find the fault")
    assert steps_ahead(step, _job(PICTURE), BENCH) == (step,)
    assert steps_ahead(NextStep("ask", waits_for="the client"), None, Bench()) == ()


def test_usual_minutes_are_the_median_of_three_or_more() -> None:
    job = _job(
        "".join(CLEANED.replace('"clean"', f'"clean"\nminutes = {minutes}') for minutes in (5, 10, 45))
    )
    assert usual_minutes([facts_of(job)]) == {"clean": Decimal(10)}
    assert usual_minutes([facts_of(_job(CLEANED))]) == {}


def test_the_page_says_why_and_what_is_assumed() -> None:
    plan = plan_of(
        [Ahead(facts(1, "2026-10-18"), [hands("find")]), Ahead(facts(2), [hands("pack", 70)])],
        Decimal(60),
        {},
    )
    table, *lines = list(plan_blocks(plan, ON))[1:]
    assert isinstance(table, Table)
    assert table.rows == [("0:00 - 0:15", "K26-0001", "find", "promised 2026-10-18, 2 days late (about)")]
    assert any(isinstance(one, Line) and "For another day: K26-0002" in one.text for one in lines)
    data = plan_data(plan, ON)
    assert data is not None
    assert data["steps"][0]["assumed"]
    assert data["left"] == ["K26-0002"]


@pytest.mark.parametrize("hours", ["0", "25", "nan"])
def test_hours_that_are_none(run: Run, hours: str) -> None:
    ran = run("queue", "--hours", hours, "--book", EXAMPLE, "--on", "2026-11-20")
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert "give more than 0 and at most 24" in ran.err


def test_the_plan_of_the_example(run: Run) -> None:
    ran = run("queue", "--hours", "4", "--book", EXAMPLE, "--on", "2026-11-20", "--format", "json")
    plan = ran.data["plan"]
    assert plan["minutes"] == 240
    assert plan["steps"][0]["job"] == "K26-0050"
    assert run("queue", "--book", EXAMPLE, "--on", "2026-11-20", "--format", "json").data["plan"] is None
