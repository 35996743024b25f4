"""Limits proposed from what good boards read."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.reckon.readings.proposals import Proposal, propose
from jobkit.reckon.readings.usual import usual_of
from jobkit.units.limit import parse_limit
from tests.reckon.readings import DESIGN, bench, good_boards


def _proposal(values: Sequence[str], **how: Any) -> Proposal:
    (row,) = usual_of(DESIGN, good_boards(values, **how), bench()).rows
    return propose(row)


@pytest.mark.parametrize(
    ("values", "how", "limit"),
    [
        # n 5, mean 23.2, sd 0.15811, factor 5.0768: 22.3973 to 24.0027, outwards to the second digit of the sd
        (["23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω"], {}, "22.39 Ω .. 24.01 Ω"),
        (["1 Ω", "2 Ω", "3 Ω", "4 Ω"], {}, "<= 10.7 Ω"),  # 2.5 ± 6.341 × 1.291; below 0 no resistance can be
        (
            ["-1 V", "1 V", "-1.1 V", "1.1 V"],
            {"kind": "voltage"},
            "−7.7 V .. 7.7 V",
        ),  # ± 6.341 × 1.214; a voltage can
        (["OL"] * 4, {}, "OL"),
    ],
    ids=str,
)
def test_proposed_limits(values: list[str], how: dict[str, Any], limit: str) -> None:
    proposal = _proposal(values, **how)
    assert (proposal.limit, proposal.why_not) == (limit, "")
    assert proposal.n == len(values)
    assert parse_limit(limit, how.get("kind", "resistance"))


@pytest.mark.parametrize(
    ("values", "why_not"),
    [
        (["23 Ω", "24 Ω", "25 Ω"], "fewer than 4"),
        (["OL"] * 3, "fewer than 4"),
        (["23 Ω"] * 5, "the same"),
        (["23 Ω", "24 Ω", "25 Ω", "26 Ω", "OL"], "some boards read open"),
        (["23 Ω", "24 Ω", "25 Ω", "OL"], "some boards read open"),
    ],
    ids=str,
)
def test_where_there_is_none_it_says_why(values: list[str], why_not: str) -> None:
    proposal = _proposal(values)
    assert proposal.limit == ""
    assert why_not in proposal.why_not


@given(st.lists(st.decimals("0.001", "999", places=3), min_size=4, max_size=9, unique=True))
def test_a_proposal_holds_the_interval_and_can_be_read_back(values: list[Decimal]) -> None:
    (row,) = usual_of(DESIGN, good_boards([f"{value} Ω" for value in values]), bench()).rows
    limit = parse_limit(propose(row).limit)
    assert row.interval is not None
    assert limit.high is not None
    assert limit.high.value >= row.interval.high
    if limit.low:
        assert limit.low.value <= row.interval.low
    assert row.moments is not None
    assert row.moments.sd is not None
    slack = limit.high.value - row.interval.high
    assert slack <= (row.interval.high / 100 if row.scale == "log" else row.moments.sd / 9)
