"""What good boards have: which count, and what is reckoned from them."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import log10, sqrt
from statistics import fmean, median, stdev
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from jobkit.jobs.design import Design, Point, PointLimit
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.reckon.readings.good_boards import good_jobs
from jobkit.reckon.readings.usual import Usual, usual_of
from jobkit.units.limit import parse_limit
from tests.reckon.readings import DESIGN, a_job, a_reading, bench, good_boards, limited


def _usual(values: Sequence[str], *, drop_outliers: bool = False, **how: Any) -> Usual:
    (row,) = usual_of(DESIGN, good_boards(values, **how), bench(), drop_outliers=drop_outliers).rows
    return row


def _interval(row: Usual) -> tuple[float, float]:
    assert row.interval is not None
    return float(row.interval.low), float(row.interval.high)


OUTCOMES = {
    "repaired": ({}, True),
    "without fault": ({"outcome": "no-fault-found"}, True),
    "beyond repair": ({"outcome": "beyond-repair"}, False),
    "declined": ({"outcome": "declined"}, False),
    "not finished": ({"finished": None}, False),
    "no outcome": ({"outcome": None}, False),
    "known good, only measured": ({"known_good": True, "outcome": None, "finished": None}, True),
    "known good once, and dead now": ({"known_good": True, "outcome": "beyond-repair"}, False),
}


@pytest.mark.parametrize(("told", "counts"), OUTCOMES.values(), ids=OUTCOMES)
def test_which_jobs_count(told: dict[str, Any], *, counts: bool) -> None:
    counted, left_out = good_jobs(DESIGN, [facts_of(a_job(1, [a_reading("23 Ω")], **told))])
    assert (len(counted), len(left_out)) == ((1, 0) if counts else (0, 1))


@pytest.mark.parametrize(
    ("found", "counts"),
    [
        ("same-fault", False),
        ("our-work", True),
        ("new-fault", True),
        ("misuse", True),
        ("not-shown", True),
        (None, True),
    ],
)
def test_a_board_that_came_back_with_the_same_fault_was_not_good(found: str | None, *, counts: bool) -> None:
    first = facts_of(a_job(1, [a_reading("23 Ω")], serial="S"))
    back = facts_of(a_job(2, [a_reading("24 Ω")], serial="S", comeback=("K26-0001", found)))
    counted, left_out = good_jobs(DESIGN, [first, back])
    assert [one.id for one in counted] == (["K26-0001", "K26-0002"] if counts else ["K26-0002"])
    assert [one.why for one in left_out] == ([] if counts else ["came back as K26-0002 with the same fault"])


def test_only_the_last_proof_reading_of_a_job_counts() -> None:
    readings = [
        a_reading("0.4 Ω", 0, stage="arrival"),
        a_reading("17 Ω", 1),
        a_reading("23 Ω", 2),
        a_reading("5 Ω", 3, stage="work"),
    ]
    (row,) = usual_of(DESIGN, [facts_of(a_job(1, readings))], bench()).rows
    assert [good.corrected.value.text for good in row.readings] == ["23 Ω"]


def test_manners_are_never_mixed() -> None:
    manners: list[dict[str, Any]] = [
        {},
        {"state": "warm"},
        {"to": "VCORE"},
        {"red_on": "ground"},
        {"removed": ("U5",)},
        {"kind": "diode"},
        {"point": "V12"},
    ]
    values = {"diode": "0.5 V"}
    readings = [
        a_reading(values.get(how.get("kind", ""), "23 Ω"), index, **how) for index, how in enumerate(manners)
    ]
    facts = [facts_of(a_job(number, readings)) for number in (1, 2)]
    rows = usual_of(DESIGN, facts, bench()).rows
    assert [row.n for row in rows] == [2] * len(manners)
    assert len({row.manner for row in rows}) == len(manners)


def test_the_order_of_removed_packages_makes_no_other_manner() -> None:
    facts = [
        facts_of(a_job(1, [a_reading("23 Ω", removed=("U5", "U1"))])),
        facts_of(a_job(2, [a_reading("24 Ω", removed=("U1", "U5"))])),
    ]
    assert [row.n for row in usual_of(DESIGN, facts, bench()).rows] == [2]


def test_no_board_one_and_two() -> None:
    assert usual_of(DESIGN, [], bench()).rows == ()
    one = _usual(["23 Ω"])
    assert one.moments is not None
    assert (one.n, one.moments.sd, one.interval, one.range_confidence) == (1, None, None, 0.0)
    two = _usual(["23 Ω", "24 Ω"])
    assert two.moments is not None
    assert two.moments.sd is not None
    assert float(two.moments.sd) == pytest.approx(sqrt(0.5))
    # Two values hold 95 % with 1 − 2 × 0.95 + 0.95² = 0.0025 (Wilks 1941)
    assert two.interval is None
    assert two.range_confidence == pytest.approx(0.0025)


def test_a_limit_of_the_board_file_without_readings_is_an_empty_row_in_its_place() -> None:
    limits = tuple(
        PointLimit(("point", 0, "limit", index), kind, "cold", limit=parse_limit(limit))
        for index, (kind, limit) in enumerate((("resistance", "10 .. 60 Ω"), ("capacitance", ">= 1 µF")))
    )
    points = (Point(("point", 0), "VMEM", limits=limits), Point(("point", 1), "V12", limits=limits[:1]))
    design = Design("boards/alder-a1.toml", DESIGN, points=points)
    facts = [
        facts_of(
            a_job(
                1, [a_reading("2 kΩ", 0, point="ZZ"), a_reading("3 kΩ", 1, point="V12"), a_reading("23 Ω", 2)]
            )
        )
    ]
    rows = usual_of(DESIGN, facts, bench(designs={DESIGN: design})).rows
    assert [(row.manner.point, row.manner.kind, row.n) for row in rows] == [
        ("VMEM", "resistance", 1),
        ("VMEM", "capacitance", 0),
        ("V12", "resistance", 1),
        ("ZZ", "resistance", 1),
    ]
    assert (rows[1].moments, rows[1].interval, rows[1].range_confidence) == (None, None, None)


def test_intervals_begin_at_four() -> None:
    assert _usual(["21 Ω", "22 Ω", "23 Ω"]).interval is None
    assert _usual(["21 Ω", "22 Ω", "23 Ω", "24 Ω"]).interval is not None


# Exact two-sided factors at 95 % content and confidence: Berthouex and Brown, table 21.1, from a copy.
@pytest.mark.parametrize(("n", "factor"), [(5, 5.08), (10, 3.39), (20, 2.76), (60, 2.34)])
def test_the_interval_is_mean_and_exact_factor_times_sd(n: int, factor: float) -> None:
    numbers = [20 + (index * 7 % 10) / 10 for index in range(n)]
    row = _usual([f"{value} Ω" for value in numbers])
    low, high = _interval(row)
    assert row.interval is not None
    assert row.interval.factor == pytest.approx(factor, abs=0.005)
    assert low == pytest.approx(fmean(numbers) - row.interval.factor * stdev(numbers), rel=1e-12)
    assert high == pytest.approx(fmean(numbers) + row.interval.factor * stdev(numbers), rel=1e-12)
    # The range of n values holds 95 % with 1 − n 0.95^(n−1) + (n − 1) 0.95^n (Wilks 1941), by the beta distribution.
    assert row.range_confidence == pytest.approx(float(stats.beta.sf(0.95, n - 1, 2)), rel=1e-9)


def _oracle_factor(n: int) -> float:
    """Solve the defining integral with scipy's own distributions (NIST/SEMATECH e-Handbook 7.2.6.3; Odeh and Owen)."""

    def confidence(k: float) -> float:
        def held(x: float) -> float:
            half = stats.ncx2.ppf(0.95, 1, x * x) ** 0.5
            return float(
                stats.norm.pdf(x, scale=1 / sqrt(n)) * stats.chi2.sf((n - 1) * half**2 / k**2, n - 1)
            )

        return float(integrate.quad(held, -6 / sqrt(n), 6 / sqrt(n))[0])

    low, high = 1.0, 50.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if confidence(middle) < 0.95 else (low, middle)
    return high


@pytest.mark.parametrize("n", [4, 19])
def test_scipy_agrees_with_the_factor(n: int) -> None:
    row = _usual([f"{20 + index / 10} Ω" for index in range(n)])
    assert row.interval is not None
    assert row.interval.factor == pytest.approx(_oracle_factor(n), rel=1e-6)


@given(st.lists(st.decimals("0.01", "99.99", places=2), min_size=2, max_size=12))
def test_the_figures_follow_by_hand(values: list[Decimal]) -> None:
    row = _usual([f"{value} Ω" for value in values])
    numbers = [float(value) for value in values]
    assert row.moments is not None
    assert row.moments.sd is not None
    assert float(row.moments.mean) == pytest.approx(fmean(numbers), rel=1e-12)
    assert float(row.moments.sd) == pytest.approx(stdev(numbers), rel=1e-9, abs=1e-12)
    assert float(row.moments.median) == pytest.approx(median(numbers))
    assert (row.moments.lowest, row.moments.highest) == (min(values), max(values))


def test_a_mean_ten_million_times_the_spread_loses_nothing() -> None:
    # NIST StRD NumAcc3, its shape: 1000000.2 once, then 1000000.1 and 1000000.3 by turns; certified sd 0.1.
    values = ["1000000.2 Ω", *["1000000.1 Ω", "1000000.3 Ω"] * 50]
    row = _usual(values)
    assert row.moments is not None
    assert row.moments.mean == Decimal("1000000.2")
    assert row.moments.sd == Decimal("0.1")
    low, high = _interval(row)
    assert row.interval is not None
    assert high - low == pytest.approx(2 * row.interval.factor * 0.1, rel=1e-6)


def test_readings_that_are_all_alike_have_an_interval_without_width() -> None:
    row = _usual(["23.4 Ω"] * 6)
    assert row.moments is not None
    assert row.moments.sd == Decimal(0)
    assert row.scale == "linear"
    assert _interval(row) == (23.4, 23.4)
    assert _usual(["23.4 Ω"] * 6, drop_outliers=True).n == 6


def test_beyond_a_factor_of_ten_the_scale_is_logarithmic() -> None:
    values = [1.0, 3.0, 8.0, 20.0, 70.0]
    row = _usual([f"{value} kΩ" for value in values])
    assert row.scale == "log"
    logs = [log10(1000 * value) for value in values]
    assert row.logs is not None
    assert float(row.logs.mean) == pytest.approx(fmean(logs))
    assert row.interval is not None
    reach = row.interval.factor * stdev(logs)
    assert _interval(row) == pytest.approx(
        (10 ** (fmean(logs) - reach), 10 ** (fmean(logs) + reach)), rel=1e-9
    )
    assert row.moments is not None
    assert float(row.moments.mean) == pytest.approx(1000 * fmean(values))  # of the readings themselves


@pytest.mark.parametrize(
    ("values", "scale"),
    [
        (["1 V", "2 V", "3 V", "10 V"], "linear"),  # exactly ten times is not more
        (["1 V", "2 V", "3 V", "10.1 V"], "log"),
        (
            ["20.1 Ω", "23.0 Ω", "27.2 Ω", "30.4 Ω"],
            "log",
        ),  # 25.2 − 6.34 × 4.58 is below 0, which no resistance is
        (["20.1 V", "23.0 V", "27.2 V", "30.4 V"], "linear"),  # a voltage may be
        (["23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω"], "linear"),
        (["0 Ω", "2 Ω", "3 Ω", "100 Ω"], "linear"),  # no logarithm of 0
        (["-1 Ω", "2 Ω", "3 Ω", "100 Ω"], "linear"),
    ],
    ids=str,
)
def test_the_edge_of_the_logarithmic_scale(values: list[str], scale: str) -> None:
    assert _usual(values, kind="voltage" if values[0].endswith("V") else "resistance").scale == scale


def test_open_readings_are_counted_beside_the_numbers() -> None:
    row = _usual(["1.1 kΩ", "1.2 kΩ", "1.3 kΩ", "1.4 kΩ", "OL", "OL"])
    assert (row.n, len(row.open), row.interval) == (4, 2, None)
    assert row.moments is not None
    assert row.moments.highest == 1400
    # "The lowest and up", open ones included: 1 − 0.95^6 (Wilks 1941, one end)
    assert row.range_confidence == pytest.approx(1 - 0.95**6)
    whole = _usual(["OL"] * 5)
    assert (whole.n, len(whole.open), whole.moments, whole.interval) == (0, 5, None, None)
    assert whole.range_confidence == pytest.approx(1 - 0.95**5)


def test_readings_that_still_moved_are_told_and_not_reckoned_with() -> None:
    facts = [*good_boards(["21 Ω", "22 Ω"]), facts_of(a_job(3, [a_reading("99 Ω", settled=False)]))]
    (row,) = usual_of(DESIGN, facts, bench()).rows
    assert (row.n, [good.job for good in row.unsettled]) == (2, ["K26-0003"])


def test_meters_are_pooled_with_their_leads_taken_off() -> None:
    facts = [
        facts_of(a_job(1, [a_reading("0.43 Ω", meter="dmm-1")])),
        facts_of(a_job(2, [a_reading("0.341 Ω", meter="dmm-2")])),
        facts_of(a_job(3, [a_reading("0.35 Ω")])),
    ]
    (row,) = usual_of(DESIGN, facts, bench()).rows
    assert [good.corrected.value.value for good in row.readings] == [
        Decimal("0.31"),
        Decimal("0.341"),
        Decimal("0.35"),
    ]
    assert not row.one_display


def test_nothing_is_screened_out_unless_asked() -> None:
    values = ["23.1 Ω", "23.2 Ω", "23.3 Ω", "23.2 Ω", "23.1 Ω", "31 Ω"]
    assert _usual(values).n == 6
    screened = _usual(values, drop_outliers=True)
    assert screened.interval is not None
    assert (screened.interval.confidence, screened.range_confidence) == (None, None)
    clean = _usual(values[:5], drop_outliers=True)
    assert clean.interval is not None
    assert clean.interval.confidence == Decimal("0.95")
    assert (screened.n, [good.corrected.value.text for good in screened.outliers]) == (5, ["31 Ω"])
    assert screened.moments is not None
    assert screened.moments.highest == Decimal("23.3")


def test_screening_keeps_to_the_scale_of_all_readings() -> None:
    # On the linear scale 900 would be far off, on the logarithmic one it is the end of an even row.
    values = ["1 Ω", "3 Ω", "10 Ω", "30 Ω", "100 Ω", "300 Ω", "900 Ω"]
    assert _usual(values, drop_outliers=True).n == 7
    assert _usual([*values[:2], "3.1 Ω", "2.9 Ω", "3 Ω", "1000000 Ω"], drop_outliers=True).outliers


def test_a_job_to_be_compared_is_left_out_with_earlier_stays_of_its_board() -> None:
    facts: list[Facts] = [
        facts_of(a_job(1, [a_reading("23 Ω")], serial="A")),
        facts_of(a_job(2, [a_reading("24 Ω")], serial="B")),
        facts_of(a_job(3, [a_reading("25 Ω")], serial="A")),
        facts_of(a_job(4, [a_reading("26 Ω")], serial="")),
    ]
    (row,) = usual_of(DESIGN, facts, bench(), but=facts[2]).rows
    assert [good.job for good in row.readings] == ["K26-0002", "K26-0004"]


# Exact one-sided factors, 95 % content, 95 % confidence: Odeh and Owen, Tables for normal tolerance limits (1980).
@pytest.mark.parametrize(
    ("limit", "side", "n", "factor"),
    [(">= 10 Ω", "low", 5, 4.203), (">= 10 Ω", "low", 10, 2.911), ("<= 60 Ω", "high", 20, 2.396)],
)
def test_a_one_sided_limit_is_compared_with_a_one_sided_tolerance_limit(
    limit: str, side: str, n: int, factor: float
) -> None:
    numbers = [20 + (index * 7 % 10) / 10 for index in range(n)]
    facts = good_boards([f"{value} Ω" for value in numbers])
    (row,) = usual_of(DESIGN, facts, bench(designs={DESIGN: limited(limit)})).rows
    assert row.bound is not None
    assert row.bound.side == side
    assert row.bound.factor == pytest.approx(factor, abs=5e-4)
    sign = -1 if side == "low" else 1
    assert float(row.bound.value) == pytest.approx(
        fmean(numbers) + sign * row.bound.factor * stdev(numbers), rel=1e-12
    )


@pytest.mark.parametrize("limit", ["10 Ω .. 60 Ω", "OL", "35 Ω ± 50 %"])
def test_a_limit_with_two_ends_or_none_has_no_one_sided_limit(limit: str) -> None:
    facts = good_boards(["21 Ω", "22 Ω", "23 Ω", "24 Ω"])
    (row,) = usual_of(DESIGN, facts, bench(designs={DESIGN: limited(limit)})).rows
    assert row.bound is None


def test_ripple_has_an_upper_limit_alone() -> None:
    row = _usual(["14 mV", "15 mV", "16 mV", "17 mV"], kind="ripple")
    assert row.bound is not None
    assert row.bound.side == "high"
