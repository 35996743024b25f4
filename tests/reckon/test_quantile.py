from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.reckon.statistics.quantile import SampleError, median, quantile

READINGS = st.lists(st.decimals(-1000, 1000, places=3), min_size=1, max_size=40)
SHARES = st.decimals(0, 1, places=3)


def test_the_quarter_of_one_to_ten() -> None:
    # Type 7 of Hyndman and Fan, The American Statistician 50 (1996): numpy's and R's default, 3.25
    assert quantile(range(1, 11), Decimal("0.25")) == Decimal("3.25")


@given(values=READINGS, share=SHARES)
def test_quantiles_agree_with_numpy(values: list[Decimal], share: Decimal) -> None:
    oracle = np.quantile([float(each) for each in values], float(share), method="linear")
    assert float(quantile(values, share)) == pytest.approx(float(oracle), abs=1e-9)


def test_the_nist_example_of_the_ninetieth_percentile() -> None:
    # The 12 gauge readings of NIST/SEMATECH e-Handbook 7.2.6.2 (from memory), type 7 by hand: the 10th and 11th are
    # 95.1937 and 95.1959, and 0.9 × 11 = 9.9 is nine tenths of the way between them.
    last = "1772 1567 1937 1959 1442 0610 1591 1195 1065 0925 1990 1682"
    readings = [Decimal(f"95.{digits}") for digits in last.split()]
    assert quantile(readings, Decimal("0.9")) == Decimal("95.19568")


@given(READINGS)
def test_the_median_parts_the_sample(values: list[Decimal]) -> None:
    middle = median(values)
    assert 2 * sum(each < middle for each in values) <= len(values)
    assert 2 * sum(each > middle for each in values) <= len(values)
    assert quantile(values, Decimal("0.5")) == middle


@given(READINGS)
def test_the_ends_are_the_lowest_and_the_highest(values: list[Decimal]) -> None:
    assert quantile(values, Decimal(0)) == min(values)
    assert quantile(values, Decimal(1)) == max(values)


def test_no_digit_is_lost() -> None:
    near, far = Decimal("1E+20"), Decimal("1E+20") + Decimal("0.0000001")
    assert quantile([near, far], Decimal("0.5")) == Decimal("100000000000000000000.00000005")


@pytest.mark.parametrize(
    ("values", "share", "message"),
    [
        ([], "0.5", "there are no values"),
        ([Decimal("Infinity"), Decimal(1)], "0.5", "an open reading is not a number"),
        ([Decimal(1)], "1.1", "no quantile at 1.1"),
        ([Decimal(1)], "-0.1", "no quantile at -0.1"),
    ],
)
def test_what_has_no_quantile_is_refused(values: list[Decimal], share: str, message: str) -> None:
    with pytest.raises(SampleError, match=message):
        quantile(values, Decimal(share))
