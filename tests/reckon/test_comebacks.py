"""Comebacks of a bench's own jobs: which count, how long boards stayed away, what a longer warranty would cost."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import CensoredData, binomtest, ecdf

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import parse_duration
from jobkit.jobs.facts import Facts, UsedRow, WorkRow
from jobkit.jobs.money import parse_money
from jobkit.jobs.settings import Settings, WarrantyHabit
from jobkit.reckon.statistics.survival import Stay, median_stay
from jobkit.reckon.warranty.comebacks import Study, study
from jobkit.reckon.warranty.extension import WarrantyExtension, cost_of, warranty_extension
from tests.reckon.made import made, repaired

START = date(2026, 1, 1)
ON = date(2026, 12, 31)


def on_the_shelf(facts: Sequence[Facts], duration: str = "P6M") -> Bench:
    return Bench(Settings(warranty=(WarrantyHabit(parse_duration(duration)),)), facts=tuple(facts))


def studied(*facts: Facts, on: date = ON) -> Study:
    return study([on_the_shelf(facts)], on)


def after(days: int) -> str:
    return str(START + timedelta(days=days))


def stayed(number: int, days: int, *, came_back: bool) -> list[Facts]:
    """Make a board that came back after so many days, or was under warranty only so long."""
    job = f"K26-{number:04d}"
    if not came_back:
        return [repaired(job, str(START), warranty_duration=f"P{days}D")]
    back = made(f"K26-{number + 1000}", received=after(days), comeback_of=job)
    return [repaired(job, str(START), warranty_duration="P300D"), back]


# Freireich and others, Blood 21 (1963), remission under 6-MP, as in the package lifelines: weeks there are days here.
CAME_BACK = (6, 6, 6, 7, 10, 13, 16, 22, 23)
WATCHED = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
SURVIVAL = {6: 0.8571, 7: 0.8067, 10: 0.7529, 13: 0.6902, 16: 0.6275, 22: 0.5378, 23: 0.4482}
ERRORS = {6: 0.0764, 7: 0.0869, 10: 0.0963, 13: 0.1068, 16: 0.1141, 22: 0.1282, 23: 0.1346}


def test_the_curve_of_a_book_is_that_of_the_published_data() -> None:
    stays = [(days, True) for days in CAME_BACK] + [(days, False) for days in WATCHED]
    books = [stayed(number, days, came_back=back) for number, (days, back) in enumerate(stays, 1)]
    found = studied(*(one for book in books for one in book))
    assert {step.day: round(float(step.survival), 4) for step in found.curve} == SURVIVAL
    assert {step.day: round(step.error or 0, 4) for step in found.curve} == ERRORS
    assert median_stay(found.curve) == 23
    assert (len(found.cases), found.comebacks) == (21, 9)


@given(st.lists(st.tuples(st.integers(1, 40), st.booleans()), min_size=1, max_size=25))
def test_share_and_curve_agree_with_scipy(stays: list[tuple[int, bool]]) -> None:
    books = [stayed(number, days, came_back=back) for number, (days, back) in enumerate(stays, 1)]
    found = studied(*(one for book in books for one in book))
    hits = sum(back for _, back in stays)
    share = binomtest(hits, len(stays)).proportion_ci(method="wilson")
    assert (found.interval.low, found.interval.high) == pytest.approx((share.low, share.high))
    sample = CensoredData(
        uncensored=[days for days, back in stays if back], right=[days for days, back in stays if not back]
    )
    curve = ecdf(sample).sf
    assert [float(step.survival) for step in found.curve] == pytest.approx(
        [float(curve.evaluate(step.day)) for step in found.curve]
    )


LEFT_OUT = {
    "not repaired": repaired("K26-0001", "2026-01-01", outcome="no-fault-found"),
    "never sent": repaired("K26-0001", "2026-01-01", sent=""),
    "without warranty": repaired("K26-0001", "2026-01-01", warranty_duration="P0D"),
    "not finished": made("K26-0001", received="2026-01-01", sent="2026-01-01"),
    "over before it was sent": repaired(
        "K26-0001", "2026-03-01", finished="2026-01-01", warranty_from="finished", warranty_duration="P1D"
    ),
    "sent after the day asked about": repaired("K26-0001", "2027-01-01"),
}


@pytest.mark.parametrize("job", LEFT_OUT.values(), ids=LEFT_OUT)
def test_boards_without_a_warranty_to_come_back_under_are_left_out(job: Facts) -> None:
    found = studied(job)
    assert (found.cases, found.comebacks, found.curve) == ((), 0, ())


STAYS = {
    "until today": ("", date(2026, 3, 1), Stay(59, came_back=False)),
    "until the warranty ended": ("", ON, Stay(181, came_back=False)),
    "until it came back": ("2026-02-01", ON, Stay(31, came_back=True)),
    "until the last covered day": ("2026-07-01", ON, Stay(181, came_back=True)),
    "too late": ("2026-07-02", ON, Stay(181, came_back=False)),
    "came back on the day it was sent": ("2026-01-01", ON, Stay(0, came_back=True)),
    "not back yet": ("2026-02-01", date(2026, 1, 31), Stay(30, came_back=False)),
}


@pytest.mark.parametrize(("received", "on", "stay"), STAYS.values(), ids=STAYS)
def test_a_board_is_watched_until_it_comes_back_or_its_warranty_ends(
    received: str, on: date, stay: Stay
) -> None:
    back = [made("K26-0002", received=received, comeback_of="K26-0001")] if received else []
    found = studied(repaired("K26-0001", "2026-01-01"), *back, on=on)
    assert found.cases[0].stay == stay


def test_a_void_ends_the_watch() -> None:
    job = repaired("K26-0001", "2026-01-01", warranty_void="opened", warranty_void_on="2026-02-01")
    assert studied(job).cases[0].stay == (31, False)


def test_the_first_comeback_counts_and_late_and_contradicting_ones_do_not() -> None:
    found = studied(
        repaired("K26-0001", "2026-01-01"),
        made("K26-0003", received="2026-03-01", comeback_of="K26-0001", comeback_found="misuse"),
        made("K26-0002", received="2026-02-01", comeback_of="K26-0001", comeback_found="same-fault"),
        repaired("K26-0004", "2026-01-01"),
        made("K26-0005", received="2026-11-01", comeback_of="K26-0004"),
        repaired("K26-0006", "2026-05-01"),
        made("K26-0007", received="2026-04-01", comeback_of="K26-0006"),
        made("K26-0008", received="2026-04-01", comeback_of="K26-0099"),
    )
    assert dict(found.by_found) == {"same-fault": 1}
    assert [one.id for one in found.late] == ["K26-0005"]
    assert [one.id for one in found.contradicting] == ["K26-0007"]
    assert found.still_watched == 0


def test_groups_count_a_job_under_each_kind_of_work() -> None:
    work = (WorkRow("", 5, "fit", "U1"), WorkRow("", 5, "bake", ""), WorkRow("", 5, "clean", ""))
    found = studied(
        repaired("K26-0001", "2026-11-01", design="alder-a1", cause_fault="joint cracked", work=work),
        repaired("K26-0002", "2026-11-01", design="alder-a1", cause_part="Q1", work=work[:1]),
        repaired("K26-0003", "2026-11-01", design="birch-b1"),
        made("K26-0004", received="2026-12-01", comeback_of="K26-0001"),
    )
    assert [(group.name, group.jobs, group.comebacks) for group in found.by_design] == [
        ("alder-a1", 2, 1),
        ("birch-b1", 1, 0),
    ]
    assert [group.name for group in found.by_cause] == ["joint cracked", "Q1"]
    assert [(group.name, group.jobs) for group in found.by_work] == [("fit", 2), ("bake", 1)]
    assert dict(found.by_found) == {"not known yet": 1}


def test_jobs_in_a_circle_do_not_hang_it() -> None:
    found = studied(
        repaired("K26-0001", "2026-01-01", comeback_of="K26-0002"),
        repaired("K26-0002", "2026-02-01", comeback_of="K26-0001"),
    )
    assert (len(found.cases), found.comebacks) == (2, 1)
    assert [one.id for one in found.contradicting] == ["K26-0001"]


def reckoned(
    *facts: Facts, duration: str = "P12M", on: date = ON, rate: str = "48.00 EUR"
) -> WarrantyExtension:
    return warranty_extension(
        studied(*facts, on=on).cases, parse_duration(duration), on, parse_money(rate), []
    )


def test_a_longer_warranty_by_hand() -> None:
    """Two boards sent on 1 January under P6M; one came back after 31 days and took an hour and a part of 4.20 EUR."""
    back = made(
        "K26-0003",
        received="2026-02-01",
        finished="2026-02-02",
        comeback_of="K26-0001",
        comeback_found="our-work",
        work=(WorkRow("2026-02-01", 60, "fit", ""),),
        used=(UsedRow("2026-02-01", "stage", "1", "stock", "Q1", "4.20 EUR"),),
    )
    found = reckoned(repaired("K26-0001", "2026-01-01"), repaired("K26-0002", "2026-01-01"), back)
    # 1 July to 1 January is 184 days, for two boards; watched were 31 + 181 days.
    assert (found.boards, found.days_added) == (2, 368)
    assert found.within is not None
    assert (found.within.comebacks, found.within.days) == (1, 212)
    assert found.within.expected == Fraction(368, 212)
    # Garwood, Biometrika 28 (1936), from a copy: the exact Poisson limits of one event are 0.0253 and 5.5716.
    assert found.within.low == pytest.approx(0.0253 * 368 / 212, rel=2e-3)
    assert found.within.high == pytest.approx(5.5716 * 368 / 212, rel=2e-5)
    # Past its warranty the second board was watched from 1 July to 31 December, 183 days, and did not come back.
    assert found.after is not None
    assert (found.after.comebacks, found.after.days, found.after.expected) == (0, 183, Fraction(0))
    assert found.after.high == pytest.approx(3.6889 * 368 / 183, rel=2e-5)
    assert str(found.cost.each) == "52.20 EUR"


def test_what_the_client_pays_is_no_cost_of_a_warranty() -> None:
    fault = made("K26-0002", received="2026-02-01", comeback_of="K26-0001", comeback_found="new-fault")
    found = reckoned(repaired("K26-0001", "2026-01-01"), fault)
    assert found.within is not None
    assert found.within.comebacks == 0
    assert (found.cost.jobs, found.cost.each) == (0, None)


def test_a_warranty_that_is_no_longer_adds_nothing() -> None:
    job = repaired("K26-0001", "2026-01-01")
    assert [reckoned(job, duration=duration).days_added for duration in ("P6M", "P1M", "P0D")] == [0, 0, 0]
    assert reckoned(job, on=START).within is None
    assert reckoned().boards == 0


def test_a_void_warranty_is_not_made_longer() -> None:
    job = repaired("K26-0001", "2026-01-01", warranty_void="opened", warranty_void_on="2026-02-01")
    assert reckoned(job).days_added == 0


def test_costs_in_another_currency_are_told_not_mixed() -> None:
    took = (UsedRow("", "a", "2", "", "", "1.00 EUR"), UsedRow("", "b", "1", "", "", "9.00 USD"))
    cost = cost_of([made("K26-0001", finished="2026-02-01", used=took)], parse_money("48.00 EUR"), [])
    assert (str(cost.each), cost.foreign, cost.minutes) == ("2.00 EUR", 1, Decimal(0))
