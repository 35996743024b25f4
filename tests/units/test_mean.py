"""The mean of several readings of one point."""

from __future__ import annotations

import pytest

from jobkit.units.quantity import parse_quantity
from jobkit.units.repeated import mean_of


@pytest.mark.parametrize(
    ("texts", "mean"),
    [
        # by hand; halves go to the even digit: ISO 80000-1:2009, B.3, rule A (from memory)
        (["0.5 V"], "0.5 V"),
        (["0.50 Ω", "0.52 Ω", "0.51 Ω", "0.50 Ω"], "0.508 Ω"),
        (["1 V", "1 V", "2 V"], "1.3 V"),
        (["1.0 V", "2 V", "2 V"], "1.67 V"),
        (["0.10 V", "0.15 V", "0.10 V", "0.15 V"], "0.125 V"),
        (["1 V", "2 V", "1 V", "1 V"], "1.2 V"),
        (["4 V", "3 V", "4 V", "4 V"], "3.8 V"),
        (["-1 V", "-2 V"], "−1.5 V"),
        (["OL", "0.5 Ω"], "OL"),
        (["0.5 Ω", "OL"], "OL"),
    ],
)
def test_the_mean_has_one_place_more_than_the_finest_reading(texts: list[str], mean: str) -> None:
    kind = "resistance" if "OL" in texts else None
    assert mean_of([parse_quantity(text, kind) for text in texts]).text == mean
