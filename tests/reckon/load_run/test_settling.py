"""Settled, rising, falling, or not to be told."""

import pytest

from jobkit.reckon.load_run.settling import settling_of
from jobkit.reckon.statistics.series import Series
from tests.reckon.load_run.curves import first_order, noisy, ramp, shown


@pytest.mark.parametrize(
    ("series", "state"),
    [
        (ramp(80, 0), "settled"),
        (ramp(80, 5.9), "settled"),
        (ramp(80, 6.1), "rising"),
        (ramp(80, -30), "falling"),
        (first_order(25, 85, 150), "settled"),
        (first_order(25, 85, 150, minutes=5), "rising"),
        (first_order(85, 25, 150, minutes=5), "falling"),
        (noisy(ramp(80, 0), 0.4, 1), "settled"),
        (noisy(ramp(80, 5), 0.4, 1), "unclear"),
        (noisy(ramp(80, 40), 0.4, 1), "rising"),
        (noisy(ramp(80, 0, minutes=3), 0.4, 2), "unclear"),
        (shown(ramp(80.2, 0), 0), "settled"),
        (shown(ramp(80.2, 0, minutes=15), 0), "unclear"),
    ],
    ids=[
        "level", "below 3 K in 30 min", "above it", "cooling", "six and more time constants", "two", "cooling down",
        "noise", "noise and nearly too much", "noise and far too much", "three minutes", "whole degrees",
        "whole degrees for a quarter of an hour",
    ],
)  # fmt: skip
def test_temperatures(series: Series, state: str) -> None:
    # 3 K in 30 min is the steady state of IEC 62368-1, B.1.6 (from memory): 6 °C an hour.
    found = settling_of(series, temperature=True)
    assert found is not None
    assert found.state == state


@pytest.mark.parametrize(
    ("series", "state"),
    [
        (noisy(ramp(230, 0), 3.3, 1), "settled"),
        (noisy(ramp(230, 0), 3.3, 1, 0.3), "settled"),
        (ramp(230, 60), "settled"),
        (ramp(230, 120), "rising"),
        (ramp(1800, -1200), "falling"),
    ],
    ids=["noise", "slow noise", "4 % in ten minutes", "7 % in ten minutes", "a fan that slows down"],
)
def test_all_else_settles_within_a_share_of_its_value(series: Series, state: str) -> None:
    found = settling_of(series, temperature=False)
    assert found is not None
    assert found.state == state


def test_the_settled_value_is_the_mean_of_the_last_third() -> None:
    found = settling_of(ramp(60, 3.0, minutes=30), temperature=True)
    assert found is not None
    assert found.mean == pytest.approx(60 + 3.0 * 25 / 60)
    assert found.drift == pytest.approx(3.0)
    assert found.seconds == 600


def test_a_log_of_two_rows_tells_nothing() -> None:
    assert settling_of(ramp(60, 3, minutes=1, step=60), temperature=True) is None
    assert settling_of(Series([], []), temperature=True) is None
