from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from jobkit.reckon.statistics.moments import moments
from jobkit.reckon.statistics.outliers import grubbs, grubbs_critical, modified_z, odd_ones
from jobkit.reckon.statistics.quantile import SampleError

# NIST/SEMATECH e-Handbook 1.3.5.17.1, mass spectrometer data, from a copy
MASSES = list(map(Decimal, ("199.31", "199.53", "200.19", "200.82", "201.92", "201.95", "202.18", "245.57")))
READINGS = st.lists(st.decimals(0, 100, places=2), min_size=1, max_size=20)


def test_the_nist_example_of_grubbs() -> None:
    described = moments(MASSES)
    assert float(described.mean) == pytest.approx(206.43375, abs=1e-12)
    assert described.sd is not None
    assert float(described.sd) == pytest.approx(15.85256, abs=5e-6)
    both, high = grubbs(MASSES), grubbs(MASSES, side="high")
    assert both is not None
    assert high is not None
    assert (both.place, both.odd) == (7, True)
    assert both.statistic == pytest.approx(2.468765, abs=5e-7)
    assert both.critical == pytest.approx(2.1266, abs=5e-5)
    assert high.critical == pytest.approx(2.0317, abs=5e-5)


def test_the_low_side_looks_at_the_lowest() -> None:
    low = grubbs(MASSES, side="low")
    assert low is not None
    assert (low.place, low.odd) == (0, False)
    mirrored = grubbs([-each for each in MASSES], side="low")
    assert mirrored is not None
    assert (mirrored.place, mirrored.odd) == (7, True)


@pytest.mark.parametrize(
    ("n", "critical"),
    # Grubbs and Beck, Technometrics 14 (1972), one-sided, alpha 0.05, from a copy
    [(3, 1.1531), (4, 1.4625), (5, 1.6714), (6, 1.8221), (7, 1.9381), (8, 2.0317), (9, 2.1096), (10, 2.1761),
    (15, 2.4090), (20, 2.5566)],
)  # fmt: skip
def test_the_one_sided_table(n: int, critical: float) -> None:
    assert grubbs_critical(n, sides=1) == pytest.approx(critical, abs=5.1e-5)


@pytest.mark.parametrize(
    ("n", "alpha", "critical"),
    # ISO 5725-2:1994, table 5, one largest or one smallest: 5 % and 1 % of both sides together (from memory). Its last
    # digit is one off in places: 2.1266 and 2.7082 are printed as 2.126 and 2.709.
    [(8, 0.05, 2.126), (8, 0.01, 2.274), (10, 0.05, 2.290), (10, 0.01, 2.482), (20, 0.05, 2.709)],
)
def test_the_two_sided_table(n: int, alpha: float, critical: float) -> None:
    assert grubbs_critical(n, alpha, sides=2) == pytest.approx(critical, abs=1e-3)


def test_ten_breaking_strengths_of_copper_wire() -> None:
    # ASTM E178, example 1 (from memory): 596 is 2.39 s above the mean; 2.176 at 5 %, 2.410 at 1 %, one side
    strengths = [568, 570, 570, 570, 572, 572, 572, 578, 584, 596]
    found = {alpha: grubbs(strengths, alpha, side="high") for alpha in (0.05, 0.01)}
    for alpha, critical, odd in ((0.05, 2.176, True), (0.01, 2.410, False)):
        test = found[alpha]
        assert test is not None
        assert test.statistic == pytest.approx(2.39, abs=0.0051)
        assert test.critical == pytest.approx(critical, abs=5.1e-4)
        assert (test.place, test.odd) == (9, odd)


@pytest.mark.parametrize("values", [[5], [5, 6], [5, 5, 5, 5]], ids=["one", "two", "all-equal"])
def test_of_some_samples_grubbs_says_nothing(values: list[int]) -> None:
    assert grubbs(values) is None


def test_three_values_are_enough_for_grubbs() -> None:
    # G of three values is at most (n - 1)/sqrt(n) = 1.1547, so only all but equal ones can make the third odd.
    odd = grubbs([Decimal(5), Decimal("5.0001"), Decimal(50)], side="high")
    even = grubbs([5, 6, 8], side="high")
    assert odd is not None
    assert even is not None
    assert (odd.place, odd.odd, even.place, even.odd) == (2, True, 2, False)


def test_two_odd_ones_hide_each_other_from_grubbs_but_not_from_the_median() -> None:
    gates = [Decimal(each) for each in ("3.1", "3.2", "3.1", "3.3", "3.2", "9.0", "9.1")]
    hidden = grubbs(gates)
    assert hidden is not None
    assert not hidden.odd
    assert odd_ones(gates) == (5, 6)


def test_the_modified_z_of_the_nist_data() -> None:
    # Iglewicz and Hoaglin, How to detect and handle outliers (1993), 0.6745 and 3.5; computed: z of the last 29.963
    scores = modified_z(MASSES)
    assert scores[-1] == pytest.approx(29.963, abs=5e-4)
    assert odd_ones(MASSES) == (7,)


@given(READINGS)
def test_scores_are_distances_in_the_robust_deviation_of_scipy(values: list[Decimal]) -> None:
    # scipy scales the MAD by 0.67449, Iglewicz and Hoaglin by 0.6745.
    floats = [float(each) for each in values]
    deviation = float(stats.median_abs_deviation(floats, scale="normal"))
    if deviation < 1e-6:
        return
    expected = [(each - float(np.median(floats))) / deviation for each in floats]
    assert modified_z(values) == pytest.approx(expected, rel=2e-5, abs=1e-9)


@pytest.mark.parametrize(
    ("values", "odd"),
    [
        (["0.31"] * 4 + ["5"], (4,)),  # the MAD is 0: the mean absolute deviation takes its place
        (["0.31"] * 3 + ["5"], ()),  # three against one is not enough
        (["0.31"] * 5, ()),
        (["0.31", "5"], ()),
        (["0.31"], ()),
    ],
)
def test_a_median_deviation_of_zero_has_an_answer(values: list[str], odd: tuple[int, ...]) -> None:
    assert odd_ones([Decimal(each) for each in values]) == odd


def test_a_difference_of_one_digit_of_the_meter_is_none() -> None:
    gates = [Decimal(each) for each in ("0.31", "0.31", "0.31", "0.31", "0.31", "0.32")]
    assert odd_ones(gates) == (5,)
    assert odd_ones(gates, step=Decimal("0.01")) == ()
    assert odd_ones([*gates, Decimal("0.36")], step=Decimal("0.01")) == (6,)


def test_where_the_step_is_known_three_alike_against_one_are_enough() -> None:
    gates = [Decimal(each) for each in ("0.552", "0.552", "0.552", "0.381")]
    assert odd_ones(gates) == ()
    assert odd_ones(gates, step=Decimal("0.001")) == (3,)
    assert odd_ones([*gates[:3], Decimal("0.555")], step=Decimal("0.001")) == ()


def test_values_that_are_all_equal_score_nothing() -> None:
    assert modified_z([Decimal("0.31")] * 4) == (0, 0, 0, 0)


@pytest.mark.parametrize("values", [[], [Decimal("Infinity"), Decimal(3), Decimal(3)]], ids=["none", "open"])
def test_what_cannot_be_scored_is_refused(values: list[Decimal]) -> None:
    for reckon in (modified_z, odd_ones, grubbs):
        with pytest.raises(SampleError):
            reckon(values)
