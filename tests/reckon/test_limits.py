"""Which limit and which decision rule a reading is held to, and what comes of it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.design import Design, Point, PointLimit
from jobkit.jobs.settings import Settings
from jobkit.reckon.readings.limits import decision_of, judge_reading, verdict_word
from jobkit.units.limit import parse_limit
from jobkit.units.verdict import Decision
from tests.reckon.readings import a_reading, bench

GUARDED = Settings(decision=Decision("guarded"))


def _design(decision: str | None = None) -> Design:
    limit = PointLimit(
        ("point", 0, "limit", 0),
        "resistance",
        "cold",
        limit=parse_limit("0.25 Ω .. 1.2 Ω"),
        decision=decision,
    )
    return Design("boards/alder-a1.toml", "alder-a1", points=(Point(("point", 0), "VMEM", limits=(limit,)),))


# Source of the figures: worked by hand in test_meters (U = 0.1329 Ω) and as follows for the fine meter:
# ± (0.03 % of 0.341 Ω + 4 × 0.001 Ω) = 0.0041023 Ω, rectangular, k = 2: U = 0.004737 Ω.
@pytest.mark.parametrize(
    ("value", "how", "word", "margin"),
    [
        ("0.43 Ω", {"meter": "dmm-1"}, "near", "0.06"),
        ("0.341 Ω", {"meter": "dmm-2"}, "in", "0.091"),
        ("0.43 Ω", {"meter": "dmm-1", "decision": "plain"}, "in", "0.06"),
        ("0.43 Ω", {}, "in", "0.18"),  # no meter: nothing off, and plain
        ("0.23 Ω", {"meter": "dmm-1"}, "out", "-0.14"),
        ("0.30 Ω", {"meter": "dmm-1"}, "near", "-0.07"),
        ("0.2547 Ω", {"meter": "dmm-2"}, "near", "0.0047"),
        ("0.2548 Ω", {"meter": "dmm-2"}, "in", "0.0048"),
    ],
    ids=str,
)
def test_one_limit_and_two_meters(value: str, how: dict[str, Any], word: str, margin: str) -> None:
    judged = judge_reading(a_reading(value, **how), bench(settings=GUARDED), _design())
    assert judged.verdict is not None
    assert judged.verdict.word == word
    assert judged.verdict.margin is not None
    assert judged.verdict.margin.value == Decimal(margin)


def test_the_uncertainty_is_told_by_the_plain_rule_too() -> None:
    judged = judge_reading(a_reading("0.43 Ω", meter="dmm-1"), bench(), _design())
    assert judged.verdict is not None
    assert judged.verdict.word == "in"
    assert judged.verdict.uncertainty is not None
    assert judged.verdict.uncertainty.text == "0.13 Ω"
    assert judged.verdict.rule == "plain"


@pytest.mark.parametrize(
    ("reading", "limit", "habit", "rule"),
    [
        (None, None, "plain", "plain"),
        (None, None, "guarded", "guarded"),
        (None, "plain", "guarded", "plain"),
        ("guarded", "plain", "plain", "guarded"),
        ("plain", "guarded", "guarded", "plain"),
    ],
)
def test_the_nearest_word_on_the_decision_rule_counts(
    reading: str | None, limit: str | None, habit: str, rule: str
) -> None:
    one = a_reading("0.43 Ω", meter="dmm-1", decision=reading)
    assert decision_of(one, _design(limit), Decision(habit, Decimal(3))) == Decision(rule, Decimal(3))


def test_a_limit_of_its_own_leaves_the_board_file_s_rule_too() -> None:
    one = a_reading("0.43 Ω", meter="dmm-1", limit=parse_limit(">= 0.3 Ω"))
    assert decision_of(one, _design("plain"), Decision("guarded")) == Decision("guarded")


def test_the_bench_s_k_widens_the_guard_band() -> None:
    one = a_reading("0.2550 Ω", meter="dmm-2")
    for k, word in ((1, "in"), (2, "in"), (3, "near")):  # u = 2.365 mΩ, 5 mΩ from the limit
        settings = Settings(decision=Decision("guarded", Decimal(k)))
        judged = judge_reading(one, bench(settings=settings), _design())
        assert judged.verdict is not None
        assert judged.verdict.word == word


def test_an_open_reading_says_no_more_than_the_range_reaches() -> None:
    for limit, word in (
        (">= 1 kΩ", "in"),
        (">= 22 kΩ", "in"),
        (">= 1 MΩ", "near"),
        ("<= 60 Ω", "out"),
        ("OL", "in"),
    ):
        one = a_reading("OL", meter="dmm-1", limit=parse_limit(limit, "resistance"))
        judged = judge_reading(one, bench(settings=GUARDED), None)
        assert judged.verdict is not None
        assert judged.verdict.word == word, limit


def test_without_limit_there_is_no_verdict_but_the_uncertainty_stands() -> None:
    judged = judge_reading(a_reading("0.43 Ω", meter="dmm-1"), bench(), None)
    assert (judged.limit, judged.verdict) == (None, None)
    assert judged.corrected is not None
    assert judged.corrected.uncertainty is not None
    mismatch = judge_reading(a_reading("0.43 Ω", limit=parse_limit(">= 1 V")), bench(), None)
    assert mismatch.verdict is None


@given(
    st.one_of(st.just("OL"), st.decimals("0", "230", places=3).map(lambda value: f"{value} Ω")),
    st.sampled_from([None, "dmm-1", "dmm-2", "dmm-9"]),
    st.sampled_from(
        ["0.25 Ω .. 1.2 Ω", "10 Ω .. 60 Ω", ">= 200 Ω", "<= 0.5 Ω", "100 Ω ± 1 %", "OL", "9 Ω .. 8 Ω"]
    ),
    st.sampled_from(["plain", "guarded"]),
)
def test_the_quick_word_is_the_verdict_s(value: str, name: str | None, limit: str, rule: str) -> None:
    one = a_reading(value, meter=name, decision=rule, limit=parse_limit(limit, "resistance"))
    full = judge_reading(one, bench(), None).verdict
    assert full is not None
    assert verdict_word(one, bench(), None) == full.word


def test_without_a_verdict_there_is_no_word() -> None:
    assert verdict_word(a_reading("0.43 Ω"), bench(), None) is None
    assert verdict_word(a_reading("0.43 Ω", limit=parse_limit(">= 1 V")), bench(), None) is None
