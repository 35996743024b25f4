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
from jobkit.units.quantity import plain
from jobkit.units.verdict import judge
from tests.reckon.readings import DESIGN, bench, good_boards, limited


def _proposal(values: Sequence[str], **how: Any) -> Proposal:
    (row,) = usual_of(DESIGN, good_boards(values, **how), bench()).rows
    return propose(row)


@pytest.mark.parametrize(
    ("values", "how", "limit"),
    [
        # n 5, mean 23.2, sd 0.15811, factor 5.0768: 22.3973 to 24.0027, outwards to the second digit of the sd
        (["23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω"], {}, "22.39 Ω .. 24.01 Ω"),
        # 25.175 − 6.341 × 4.578 is below 0; of the logarithms 1.3956 ± 6.341 × 0.0792, so 7.82 to 79.04
        (["20.1 Ω", "23.0 Ω", "27.2 Ω", "30.4 Ω"], {}, "7.82 Ω .. 79.1 Ω"),
        # ripple is good however low: 15.5 + 5.144 × 1.291
        (["14 mV", "15 mV", "16 mV", "17 mV"], {"kind": "ripple"}, "<= 22.2 mV"),
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
        (
            ["1 Ω", "2 Ω", "3 Ω", "4 Ω"],
            "a short would be in",
        ),  # of the logarithms 0.345 − 6.341 × 0.261: 49 mΩ
        (["-0.01 Ω", "0.01 Ω", "0.02 Ω", "0.03 Ω"], "a short would be in"),
        (["23 Ω", "24 Ω", "25 Ω", "26 Ω", "OL"], "some boards read open"),
        (["23 Ω", "24 Ω", "25 Ω", "OL"], "some boards read open"),
    ],
    ids=str,
)
def test_where_there_is_none_it_says_why(values: list[str], why_not: str) -> None:
    proposal = _proposal(values)
    assert proposal.limit == ""
    assert why_not in proposal.why_not


_READINGS = st.lists(st.decimals("0.001", "999", places=3), min_size=4, max_size=9, unique=True)
_LIMITS = st.sampled_from(["", "10 Ω .. 60 Ω", ">= 10 Ω", "<= 60 Ω"])


@given(values=_READINGS, limit=_LIMITS, drop_outliers=st.booleans())
def test_no_proposal_lets_a_short_pass(values: list[Decimal], limit: str, *, drop_outliers: bool) -> None:
    facts = good_boards([f"{value} Ω" for value in values])
    designs = {DESIGN: limited(limit)} if limit else {}
    (row,) = usual_of(DESIGN, facts, bench(designs=designs), drop_outliers=drop_outliers).rows
    proposed = propose(row).limit
    if proposed:
        short = plain(min(good.corrected.value.value for good in row.readings) / 10, "Ω")
        assert judge(short, parse_limit(proposed)).word == "out"


@given(_READINGS)
def test_a_proposal_holds_the_interval_and_can_be_read_back(values: list[Decimal]) -> None:
    (row,) = usual_of(DESIGN, good_boards([f"{value} V" for value in values], kind="voltage"), bench()).rows
    limit = parse_limit(propose(row).limit)
    assert row.interval is not None
    assert limit.low is not None
    assert limit.high is not None
    assert limit.low.value <= row.interval.low
    assert limit.high.value >= row.interval.high
    assert row.moments is not None
    assert row.moments.sd is not None
    slack = limit.high.value - row.interval.high
    assert slack <= (row.interval.high / 100 if row.scale == "log" else row.moments.sd / 9)


@pytest.mark.parametrize(
    ("limit", "proposed"),
    [
        # n 5, mean 23.2, sd 0.15811, one-sided factor 4.2027: 22.5355
        (">= 10 Ω", ">= 22.53 Ω"),
        # a short reads low: an upper limit written by hand does not make the lower end needless
        ("<= 60 Ω", "22.39 Ω .. 24.01 Ω"),
    ],
)
def test_where_the_limit_by_hand_has_one_side(limit: str, proposed: str) -> None:
    facts = good_boards(["23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω"])
    (row,) = usual_of(DESIGN, facts, bench(designs={DESIGN: limited(limit)})).rows
    assert propose(row).limit == proposed
