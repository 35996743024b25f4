"""A reading set against what good boards read."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.digest import facts_of
from jobkit.reckon.readings.against_usual import TOO_NEAR, against_usual
from jobkit.reckon.readings.unusual import GoodBoards, unusual_proofs
from jobkit.units.exact import ROOT
from tests.reckon.readings import METERS, a_job, a_range, a_reading, bench, good_boards, meter

# n 5, mean 23.2, sd 0.1581, exact factor 5.077: 22.397 to 24.003 Ω
FIVE = ("23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω")
ROUGH = meter("rough", a_range("resistance", "200 Ω", "5 1 0.1 Ω"), number=2)
BENCH = bench(meters={**METERS, "rough": ROUGH})


def _stands(
    value: str, others: Sequence[str] = FIVE, theirs: dict[str, Any] | None = None, **how: Any
) -> str | None:
    job = a_job(99, [a_reading(value, stage="arrival", **how)], finished=None)
    against = against_usual(job, good_boards(others, **(theirs or {})), BENCH)
    return against[("reading", 0)].stands if against else None


@pytest.mark.parametrize(
    ("value", "stands"),
    [
        ("23.2 Ω", "usual"),
        ("24.0 Ω", "usual"),
        ("24.1 Ω", "high"),
        ("22.4 Ω", "usual"),
        ("22.3 Ω", "low"),
        ("OL", "high"),
    ],
)
def test_within_the_interval_is_usual(value: str, stands: str) -> None:
    assert _stands(value) == stands


def test_few_boards_say_nothing_and_other_manners_neither() -> None:
    assert _stands("99 Ω", FIVE[:3]) == ""
    assert _stands("99 Ω", state="warm") is None
    assert against_usual(a_job(99, [a_reading("99 Ω")]), [], BENCH) == {}


def test_within_what_was_seen_is_usual_even_outside_the_interval() -> None:
    # 60 boards at 23 Ω give or take a digit, one at 25: the interval ends below what that good board read.
    others = [*(["22.9 Ω", "23.0 Ω", "23.1 Ω"] * 20), "25 Ω"]
    assert _stands("25 Ω", others) == "usual"
    assert _stands("25.1 Ω", others) == "high"


def test_beyond_the_range_by_less_than_the_meters_tell_is_not_called_usual() -> None:
    # U of 24.3 Ω on the rough meter: ± (5 % + 0.1 Ω), k = 2: 1.5 Ω.
    assert _stands("24.3 Ω") == "high"
    assert _stands("24.3 Ω", meter="rough") == TOO_NEAR
    assert _stands("26.1 Ω", meter="rough") == "high"
    # The others' uncertainty counts as well, unless it is the same display: then it is common to all and cancels.
    assert _stands("24.3 Ω", theirs={"meter": "rough"}) == TOO_NEAR
    assert _stands("24.3 Ω", theirs={"meter": "rough"}, meter="rough") == "high"
    # One digit beyond the end is less than the display tells.
    assert _stands("24.1 Ω", theirs={"meter": "rough"}, meter="rough") == TOO_NEAR


def test_two_uncertainties_are_combined_by_root_sum_of_squares() -> None:
    fine, rough = (
        Decimal("0.03") / 100 * 25 + Decimal("0.004"),
        Decimal(5) / 100 * Decimal("23.4") + Decimal("0.1"),
    )
    u = ROOT.sqrt((fine * fine + rough * rough) / 3)
    end = Decimal("24.003") + 2 * u
    assert _stands(f"{end - Decimal('0.01'):.3f} Ω", theirs={"meter": "rough"}, meter="dmm-2") == TOO_NEAR
    assert _stands(f"{end + Decimal('0.01'):.3f} Ω", theirs={"meter": "rough"}, meter="dmm-2") == "high"


def test_readings_that_are_all_alike_are_no_measure_without_a_meter() -> None:
    alike = ["23.4 Ω"] * 6
    assert _stands("23.5 Ω", alike) == ""
    assert _stands("23.4 Ω", alike) == ""
    assert _stands("23.401 Ω", alike, {"meter": "dmm-2"}, meter="dmm-2") == TOO_NEAR
    assert _stands("23.402 Ω", alike, {"meter": "dmm-2"}, meter="dmm-2") == "high"


def test_where_good_boards_read_open() -> None:
    assert _stands("OL", ["OL"] * 4) == "usual"
    assert _stands("5 kΩ", ["OL"] * 4) == "low"
    assert _stands("5 kΩ", ["OL"] * 3) == ""
    assert _stands("5 kΩ", [*FIVE, "OL"]) == ""


def test_unusual_proofs_agree_with_the_page() -> None:
    others = good_boards(FIVE, meter="dmm-2")
    for value in ("22.3 Ω", "22.5 Ω", "23.2 Ω", "23.9 Ω", "24.2 Ω", "OL"):
        job = a_job(
            99, [a_reading("1 Ω", 0, stage="arrival"), a_reading(value, 1, meter="dmm-2")], finished=None
        )
        found = list(unusual_proofs(facts_of(job), GoodBoards(others), BENCH))
        stands = against_usual(job, others, BENCH)[("reading", 1)].stands
        assert [one.against.stands for one in found] == ([stands] if stands != "usual" else [])
        assert [one.proved.row for one in found] == ([1] if found else [])


_METERS = st.sampled_from([None, "dmm-2", "rough"])
_VALUES = st.decimals("22", "25", places=1).map(lambda value: f"{value} Ω")


@given(st.lists(st.tuples(_VALUES, _METERS), min_size=0, max_size=9), _VALUES, _METERS, st.booleans())
def test_the_quick_way_says_what_the_slow_one_says(
    others: list[tuple[str, str | None]],
    value: str,
    name: str | None,
    own: bool,  # noqa: FBT001 - drawn
) -> None:
    facts = [
        facts_of(a_job(number, [a_reading(other, meter=by)])) for number, (other, by) in enumerate(others, 1)
    ]
    job = a_job(99, [a_reading(value, meter=name)], serial="S-1" if own else "S-99")
    facts.append(facts_of(job))
    against = against_usual(job, facts, BENCH).get(("reading", 0))
    found = [one.against.stands for one in unusual_proofs(facts_of(job), GoodBoards(facts), BENCH)]
    assert found == ([against.stands] if against and against.stands in {"high", "low"} else [])


def test_a_proof_reading_is_not_compared_with_itself_nor_while_it_moves() -> None:
    own = facts_of(a_job(1, [a_reading("99 Ω")]))
    boards = GoodBoards([own, *good_boards(FIVE)[1:]])
    assert [one.against.stands for one in unusual_proofs(own, boards, BENCH)] == ["high"]
    unsettled = facts_of(a_job(99, [a_reading("99 Ω", settled=False)]))
    assert list(unusual_proofs(unsettled, GoodBoards(good_boards(FIVE)), BENCH)) == []
