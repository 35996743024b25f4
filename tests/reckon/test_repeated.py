"""Several readings of one point: their mean, their spread, and how sure the two make the value."""

from __future__ import annotations

from decimal import Decimal
from math import sqrt
from statistics import fmean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from jobkit.reckon.readings.limits import judge_reading, screen_reading
from jobkit.reckon.readings.repeated import coverage_factor, effective_degrees, expanded_uncertainty, type_a
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import Quantity, parse_quantity, plain
from jobkit.units.repeated import mean_of
from jobkit.units.verdict import Decision
from tests.reckon.readings import a_reading, bench

# JCGM 100:2008, table 1: twenty temperatures in °C; 4.4.3 finds mean 100.145, s 1.489, s / √20 0.333 (from memory).
TABLE_1 = (
    "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 100.33 100.42 100.68 100.95 101.11 101.20 101.57 "
    "101.84 102.36 102.72"
)


def _volts(*values: str) -> list[Quantity]:
    return [parse_quantity(f"{value} V") for value in values]


def test_twenty_temperatures() -> None:
    readings = [parse_quantity(f"{value} °C") for value in TABLE_1.split()]
    assert mean_of(readings).text == "100.145 °C"
    assert float(type_a(readings)) == pytest.approx(0.333, abs=5e-4)


def test_a_voltage_read_several_times_on_a_voltmeter_with_a_specification() -> None:
    # JCGM 100:2008, 4.3.7 example 2 with 5.1.5 (from memory): type A 12 µV, type B 8.66 µV, together 15 µV (14.8)
    # Two readings 24 µV apart have s / √2 = 12 µV.
    values = _volts("0.928559", "0.928583")
    assert type_a(values) == Decimal("0.000012")
    expanded = expanded_uncertainty(values, Decimal("8.66e-6"), Decimal(2))
    combined = expanded.uncertainty.value / expanded.k
    assert float(combined) == pytest.approx(14.8e-6, abs=5e-8)


@pytest.mark.parametrize(
    ("degrees", "factor"),
    [
        # JCGM 100:2008, table G.2, the column for 95.45 % (from memory)
        (1, "13.97"), (2, "4.53"), (3, "3.31"), (4, "2.87"), (5, "2.65"), (6, "2.52"), (7, "2.43"), (8, "2.37"),
        (9, "2.32"), (10, "2.28"), (20, "2.13"), (50, "2.05"), (None, "2"),
    ],
)  # fmt: skip
def test_the_coverage_factor_of_few_readings(degrees: int | None, factor: str) -> None:
    assert coverage_factor(degrees, Decimal(2)) == Decimal(factor)


READINGS = st.lists(st.decimals(1, 2, places=4), min_size=2, max_size=12)


@given(
    READINGS, st.decimals("0.0001", "0.1", places=4), st.sampled_from([Decimal(1), Decimal(2), Decimal(3)])
)
def test_scipy_finds_the_same(values: list[Decimal], of_meter: Decimal, k: Decimal) -> None:
    numbers, n = [float(value) for value in values], len(values)
    spread = stdev(numbers) / sqrt(n)
    combined = sqrt(spread**2 + float(of_meter) ** 2)
    expanded = expanded_uncertainty([plain(value, "V") for value in values], of_meter, k)
    degrees = effective_degrees(Decimal(spread), Decimal(combined), n)
    if spread:
        assert degrees is None or degrees == pytest.approx(combined**4 / spread**4 * (n - 1), abs=1)
    factor = float(k) if degrees is None else float(stats.t.isf(stats.norm.sf(float(k)), degrees))
    assert float(expanded.k) == pytest.approx(factor, abs=0.006)
    assert float(expanded.uncertainty.value) == pytest.approx(float(expanded.k) * combined, rel=1e-9)


@given(READINGS)
def test_the_mean_is_off_by_no_more_than_half_its_last_digit(values: list[Decimal]) -> None:
    mean = mean_of([plain(value, "V") for value in values])
    assert float(mean.value) == pytest.approx(fmean(map(float, values)), abs=0.000_005_1)


def test_an_open_reading_leaves_the_mean_open() -> None:
    assert mean_of([parse_quantity("0.5 Ω"), parse_quantity("OL", "resistance")]).open


def test_a_verdict_goes_by_the_mean_and_allows_for_the_spread() -> None:
    # The mean of 0.50, 0.52 and 0.51 is 0.51 Ω, 0.39 Ω without leads
    again = (parse_quantity("0.52 Ω"), parse_quantity("0.51 Ω"))
    reading = a_reading("0.50 Ω", meter="dmm-1", limit=parse_limit("0.25 .. 1.2 Ω"), again=again)
    known = bench()
    judged = judge_reading(reading, known, None)
    assert judged.corrected is not None
    assert (judged.corrected.value.text, judged.corrected.n) == ("0.39 Ω", 3)
    assert judged.verdict is not None
    assert screen_reading(reading, known, None).clearly_in is False
    # the meter: (0.5 % of 0.51 Ω + 8 × 0.01 Ω) / √3 and the same of the leads; the readings: 0.01 Ω / √3
    of_meter = sqrt((0.08255**2 + 0.0806**2) / 3)
    combined = sqrt(of_meter**2 + (0.01 / sqrt(3)) ** 2)
    assert judged.corrected.uncertainty is not None
    assert float(judged.corrected.uncertainty.value) == pytest.approx(2 * combined, rel=1e-6)


def test_readings_that_differ_widely_are_near_where_one_alone_is_in() -> None:
    guarded = bench(settings=bench().settings._replace(decision=Decision("guarded")))
    limit = parse_limit("0.25 .. 1.2 Ω")
    alone = a_reading("0.340 Ω", meter="dmm-2", limit=limit)
    spread = alone._replace(again=(parse_quantity("0.44 Ω"), parse_quantity("0.25 Ω")))
    words = [judge_reading(one, guarded, None).verdict for one in (alone, spread)]
    assert [verdict and verdict.word for verdict in words] == ["in", "near"]
    judged = judge_reading(spread, guarded, None)
    assert judged.corrected is not None
    assert judged.corrected.k > 4  # two degrees of freedom: 4.53
    assert judged.verdict is not None
    assert f"(k = {judged.corrected.k})" in judged.verdict.rule
