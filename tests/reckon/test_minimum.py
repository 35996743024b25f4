"""The lowest point of a valley, against scipy, a general-purpose library."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from jobkit.reckon.statistics.minimum import lowest_point


@given(
    bottom=st.floats(0.1, 100),
    power=st.sampled_from([2, 4]),
    left=st.floats(0.01, 0.99),
    right=st.floats(1.01, 50),
)
def test_valleys(bottom: float, power: int, left: float, right: float) -> None:
    def cost(at: float) -> float:
        return float(abs(log(at / bottom)) ** power + 3)

    low, high = left * bottom, right * bottom
    found = lowest_point(cost, low, high)
    theirs = minimize_scalar(cost, bounds=(low, high), method="bounded", options={"xatol": 1e-9 * bottom})
    assert low <= found <= high
    assert cost(found) == pytest.approx(cost(theirs.x), abs=1e-9)


@pytest.mark.parametrize("slope", [1.0, -1.0], ids=["rises", "falls"])
def test_without_a_valley_it_is_an_end(slope: float) -> None:
    assert lowest_point(lambda at: slope * at, 1.0, 9.0) == pytest.approx(1.0 if slope > 0 else 9.0, rel=1e-6)


@given(low=st.floats(0.1, 10), width=st.floats(0.1, 100), level=st.floats(0, 3), bottom=st.floats(0, 1))
def test_a_valley_with_a_flat_bottom(low: float, width: float, level: float, bottom: float) -> None:
    """Costs that are the same to the last digit are no trouble; as few points are looked at."""
    looked_at: list[float] = []

    def cost(at: float) -> float:
        looked_at.append(at)
        return max(abs((at - low) / width - bottom), level)

    assert low <= lowest_point(cost, low, low + width) <= low + width
    assert len(looked_at) < 100


def test_it_looks_at_few_points() -> None:
    """Golden section alone would look at about forty."""
    looked_at: list[float] = []

    def cost(at: float) -> float:
        looked_at.append(at)
        return exp(at / 10) - at

    lowest_point(cost, 1, 90)
    assert len(looked_at) < 20
