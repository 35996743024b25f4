"""What finished jobs teach, and that no job is counted twice."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, PossibleCause
from jobkit.jobs.entries import Work
from jobkit.reckon.suspects.learning import before_repair, learned_causes, shown_by
from jobkit.reckon.suspects.past_causes import PastJob, cause_named, counted_since, counts
from jobkit.reckon.suspects.ranking import rank
from tests.reckon.suspects.test_search import BENCH, DESIGN, EVENING, MORNING, NOON, _search, _seen

PAST = tuple(
    PastJob(f"K26-00{n}", f"2026-0{n - 10}-01", "firmware" if n % 2 else "", "", "") for n in range(11, 17)
)


def test_a_cause_is_found_by_name_then_by_part() -> None:
    by_part = PastJob("K26-0002", "2026-02-01", "", "Q1", "shorted")
    unknown = PastJob("K26-0003", "2026-02-01", "moisture", "Q1", "")
    assert [
        one and one.name for one in (cause_named(by_part, DESIGN.causes), cause_named(unknown, DESIGN.causes))
    ] == [
        "a power stage",
        None,
    ]


def test_shares_have_wilson_intervals() -> None:
    # Newcombe, Statistics in Medicine 17 (1998), table I, method 3 (copy): 15 of 148 gives 0.0624 to 0.1605.
    jobs = [PastJob(f"K26-{n:04}", "2026-01-01", "", "", "fan" if n < 15 else "dust") for n in range(148)]
    dust, fan = counts(jobs, None)
    assert (dust.cause, fan.cause) == ("dust", "fan")
    assert (fan.interval.low, fan.interval.high) == pytest.approx((0.0624, 0.1605), abs=5e-5)


def test_jobs_that_a_learned_weight_contains_are_not_counted_again() -> None:
    learned = PossibleCause((), "firmware", None, Decimal(3), learned=date(2026, 3, 1))
    design = Design(*DESIGN._replace(causes=(learned,)))
    assert counted_since(PAST, DESIGN)["firmware"] == 3
    assert counted_since(PAST, design)["firmware"] == 1


def test_learning_keeps_the_weight_that_counts() -> None:
    past = tuple(job for job in PAST if job.name)
    (learned,) = learned_causes(past, {}, DESIGN, BENCH)
    assert learned.weight == 4
    causes = [
        one._replace(weight=learned.weight, learned=date(2026, 11, 1)) if one.name == "firmware" else one
        for one in DESIGN.causes
    ]
    after = Bench(designs={"alder-a1": Design(*DESIGN._replace(causes=tuple(causes)))})
    job = _search().job
    before, then = (
        {one.candidate.name: one.weight for one in rank(job, b, past).suspects} for b in (BENCH, after)
    )
    assert before["firmware"] == then["firmware"] == 4


def test_what_failed_before_the_repair_teaches_probabilities() -> None:
    jobs = [_search(seen=(_seen("x" if n else "", "" if n else "x", check="picture"),)).job for n in range(4)]
    assert shown_by(jobs, BENCH) == {"picture": round(4 / 6, 2)}


def test_two_jobs_are_too_few() -> None:
    jobs = [_search(seen=(_seen("x", check="picture"),)).job for _ in range(2)]
    assert shown_by(jobs, BENCH) == {}


def test_what_was_tested_after_the_repair_does_not_count() -> None:
    seen = (_seen("x", check="picture", at=MORNING), _seen("", "x", check="picture", at=EVENING))
    job = _search(seen=seen, work=(Work((), NOON, did="swap", part="U31"),)).job
    assert [one.at for one in before_repair(job).seen] == [MORNING]
