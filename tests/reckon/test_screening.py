"""Dropping outliers: no confidence where something was dropped, all of it where nothing was."""

from __future__ import annotations

import pytest

from tests.reckon.screening import screened


@pytest.mark.slow
def test_what_is_left_after_dropping_is_not_as_sure_as_it_looks() -> None:
    # 95 % confidence is claimed: three standard errors of 700 samples are 2.5 %, of 100 about 15 %.
    kept = screened(10, 800)
    assert kept.dropped_from > 50
    assert kept.where_none == pytest.approx(0.95, abs=0.025)
    assert kept.where_some < 0.7
