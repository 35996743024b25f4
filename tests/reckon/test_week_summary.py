"""A week: what moved, beside the weeks before it, what it took, and what is still here."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts, ProofRow, TrialRow, WaitRow, WorkRow
from jobkit.jobs.settings import Settings
from jobkit.jobs.week import Week, WeekError
from jobkit.reckon.progress.flow import AGES, age_days, turnaround
from jobkit.reckon.progress.week import WeekSummary, week_summary
from tests.reckon.made import made

WEEK = Week(2026, 43)
"""2026-10-19 to 2026-10-25."""
END = date(2026, 10, 25)


def summed(*facts: Facts, week: Week = WEEK, on: date = END) -> WeekSummary:
    return week_summary([Bench(Settings(currency="EUR"), facts=facts)], week, on)


def ids(facts: tuple[Facts, ...]) -> list[str]:
    return [one.id for one in facts]


def test_monday_and_sunday_belong_to_the_week_and_their_neighbours_do_not() -> None:
    days = ("2026-10-18", "2026-10-19", "2026-10-25", "2026-10-26")
    found = summed(*(made(day, received=day, finished=day, sent=day) for day in days), on=date(2026, 11, 30))
    assert ids(found.received) == ids(found.finished) == ids(found.sent) == ["2026-10-19", "2026-10-25"]


def test_what_is_dated_later_is_not_there_yet() -> None:
    one = made("A", received="2026-10-19", started="2026-10-20", finished="2026-10-23", sent="2026-10-24")
    thursday = summed(one, on=date(2026, 10, 22))
    assert (ids(thursday.received), ids(thursday.finished), thursday.on_the_bench) == (["A"], [], 1)
    assert (thursday.as_of, summed(one, on=date(2026, 12, 1)).as_of) == (date(2026, 10, 22), END)


def test_a_week_stands_beside_the_one_before_and_the_median_of_eight() -> None:
    """Sent in the weeks before, latest first: 3, 0, 1, 0, 2, 0, 0, 5, and 9 in the week before those."""
    counts = [1, 3, 0, 1, 0, 2, 0, 0, 5, 9]
    mondays = [date.fromordinal(date(2026, 10, 19).toordinal() - 7 * back) for back in range(len(counts))]
    sent = [
        made(f"{monday}-{number}", received="2026-01-01", sent=str(monday))
        for monday, count in zip(mondays, counts, strict=True)
        for number in range(count)
    ]
    flow = summed(*sent).throughput["sent"]
    assert flow == (1, 3, Decimal("0.5"), 8)


def test_weeks_before_the_bench_began_do_not_count() -> None:
    jobs = [
        made("A", received="2026-10-06"),
        made("B", received="2026-10-20"),
        made("C", received="2026-10-21"),
    ]
    assert summed(*jobs).throughput["received"] == (2, 0, Decimal("0.5"), 2)
    assert summed(jobs[1]).throughput["received"] == (1, 0, None, 0)


@pytest.mark.parametrize("week", [Week(1, 1), Week(1, 2), Week(9999, 51)])
def test_the_calendar_has_ends(week: Week) -> None:
    found = summed(week=week, on=date.max)
    assert (found.received, found.throughput["sent"].weeks) == ((), 0)


def test_a_week_that_ends_beyond_the_calendar_is_refused_in_a_line() -> None:
    with pytest.raises(WeekError):
        summed(week=Week(9999, 52))


def test_what_is_still_here_is_told_by_status_and_age() -> None:
    jobs = [
        made("A", received="2026-10-18"),
        made("B", received="2026-10-17"),
        made("C", received="2026-10-11", waits=(WaitRow("parts", "2026-10-12", "", ""),)),
        made("D", received="2026-09-25", started="2026-09-26"),
        made("E", received="2026-09-24", started="2026-09-26"),
        made("F", received="2026-09-24", collected="2026-10-01"),
    ]
    found = summed(*jobs)
    assert AGES == (7, 14, 30)
    assert found.in_progress == (
        ("booked in", 3, 1, (1, 2, 0, 0), 14),
        ("on the bench", 2, 0, (0, 0, 1, 1), 31),
    )
    assert [one.id for one, _ in found.open] == ["E", "D", "C", "B", "A"]


def test_what_is_on_its_way_has_a_line_of_its_own() -> None:
    coming = made("K26-0002", announced="2026-10-10")
    week = summed(made("K26-0001", received="2026-10-20"), coming, made("K26-0003", announced="2026-10-26"))
    assert [one.id for one in week.on_the_way] == ["K26-0002"]
    assert [(one.status, one.jobs, one.oldest) for one in week.in_progress] == [
        ("announced", 1, 15),
        ("booked in", 1, 5),
    ]
    assert [one.id for one in week.received] == ["K26-0001"]


def test_causes_money_and_hours_of_the_week() -> None:
    def done(job: str, cause: str, charged: str, **more: Any) -> Facts:
        fields = {
            "received": "2026-10-01",
            "finished": "2026-10-20",
            "cause_fault": cause,
            "price_charged": charged,
        }
        return made(job, **{**fields, **more})

    found = summed(
        done("A", "stage shorted", "155.00 EUR", work=(WorkRow("2026-10-20", 45, "fit", ""),)),
        done("B", "stage shorted", "20.00 USD", work=(WorkRow("2026-10-11", 60, "fit", ""),)),
        done("C", "", "10.10 EUR", cause_part="C9", sent="2026-10-21"),
        done("D", "fan", "9.99 EUR", finished="2026-10-26"),
    )
    assert found.causes == (("stage shorted", 2), ("C9", 1))
    assert [str(each) for each in found.charged] == ["165.10 EUR", "20.00 USD"]
    assert [str(each) for each in found.unpaid] == ["165.10 EUR", "20.00 USD"]
    assert [(each.job.id, str(each.due)) for each in found.debts] == [
        ("A", "2026-11-03"),
        ("B", "2026-11-03"),
        ("C", "2026-11-04"),
    ]
    assert found.minutes == 45


def test_comebacks_are_those_received_in_the_week() -> None:
    jobs = [
        made("A", received="2026-10-20", comeback_of="Z"),
        made("B", received="2026-10-10", comeback_of="Z"),
    ]
    found = summed(*jobs)
    assert (ids(found.comebacks), found.throughput["comebacks"][:2]) == (["A"], (1, 0))


def _proved(day: str, value: str, limit: str, kind: str = "resistance") -> ProofRow:
    return ProofRow(
        day, "VMEM", kind, "", "", "cold", (), value, limit, "", "", four_wire=False, settled=True, row=0
    )


@pytest.mark.parametrize(
    ("fields", "failures"),
    [
        ({"trials": (TrialRow("2026-10-20", "load run", "fail", 30),)}, ["load run"]),
        ({"trials": (TrialRow("2026-10-20", "load run", "pass", 30),)}, []),
        ({"trials": (TrialRow("2026-10-20", "load run", "stopped", 3),)}, []),
        ({"trials": (TrialRow("2026-10-18", "load run", "fail", 30),)}, []),
        ({"proof": (_proved("2026-10-20", "8.2 Ω", "10 Ω .. 60 Ω"),)}, ["VMEM resistance"]),
        ({"proof": (_proved("2026-10-20", "10 Ω", "10 Ω .. 60 Ω"),)}, []),
        ({"proof": (_proved("2026-10-20", "8.2 Ω", ""),)}, []),
        ({"proof": (_proved("2026-10-20", "8.2 Ω", "1 V .. 2 V"),)}, []),
        ({"proof": (_proved("2026-10-18", "8.2 Ω", "10 Ω .. 60 Ω"),)}, []),
        ({"proof": (_proved("2026-10-20", "4k7", "<= 4K6"),)}, ["VMEM resistance"]),
    ],
)
def test_failures_are_trials_that_failed_and_proof_readings_outside(
    fields: dict[str, Any], failures: list[str]
) -> None:
    found = summed(made("A", received="2026-10-01", **fields))
    assert [failure.what for failure in found.failures] == failures


def test_several_benches_are_summed_up_together() -> None:
    benches = [Bench(facts=(made(job, received="2026-10-20"),)) for job in ("one/K26-0001", "two/K26-0001")]
    found = week_summary(benches, WEEK, END)
    assert ids(found.received) == ["one/K26-0001", "two/K26-0001"]


@given(st.lists(st.integers(0, 400), min_size=1, max_size=30))
def test_turnaround_agrees_with_numpy(days: list[int]) -> None:
    """The oracle is numpy.quantile, whose default "linear" is type 7 of Hyndman and Fan."""
    start = date(2026, 1, 1)
    jobs = [
        made("A", received=str(start), sent=str(date.fromordinal(start.toordinal() + count)))
        for count in days
    ]
    found = turnaround(jobs)
    assert found.n == len(days)
    assert float(found.median or 0) == pytest.approx(float(np.quantile(days, 0.5)))
    assert float(found.p90 or 0) == pytest.approx(float(np.quantile(days, 0.9)))


def test_age_is_counted_to_the_day_it_left() -> None:
    assert age_days(made("A", received="2026-10-01"), END) == 24
    assert age_days(made("A", received="2026-10-01", sent="2026-10-05"), END) == 4
    assert age_days(made("A", received="2026-10-01", collected="2026-10-06"), END) == 5
    assert age_days(made("A"), END) is None
