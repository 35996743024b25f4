"""Causes learned from jobs, written into the text of a board file."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import pytest

from jobkit.book.write.learned import CauseToWrite, write_causes

DAY, LATER = date(2026, 11, 20), date(2026, 12, 4)
BOARD = """\
format = 1
design = "alder-a1"

# by hand
[[cause]]
name    = "firmware"
part    = "U31"
weight  = 2      # my guess
affects = { picture = 0.9 }

[[cause]]
name = "fan"
"""


def _cause(name: str, weight: int, jobs: int = 4, affects: Mapping[str, float] = {}) -> CauseToWrite:
    return CauseToWrite(name, "", Decimal(weight), affects, jobs)


def test_what_was_written_by_hand_stays_with_a_remark_below_it() -> None:
    text, (weight, affects) = write_causes(BOARD, [_cause("firmware", 6, affects={"picture": 0.7})], DAY)
    assert tomllib.loads(text) == tomllib.loads(BOARD)
    remark = "# learned from 4 jobs, 2026-11-20: 6; if you take it over, add learned = 2026-11-20\n"
    assert f"weight  = 2      # my guess\n{remark}" in text
    assert "# learned from 4 jobs, 2026-11-20: { picture = 0.7 }\n" in text
    assert (weight.how, affects.how) == ("beside", "beside")


def test_a_proposal_that_was_taken_over_is_renewed_with_its_day() -> None:
    text, _ = write_causes(BOARD, [_cause("firmware", 6)], DAY)
    taken = text.replace("weight  = 2 ", "weight  = 6 ").replace("      # my guess", "")
    later, (wrote,) = write_causes(taken, [_cause("firmware", 7)], LATER)
    assert wrote.how == "renewed"
    firmware = tomllib.loads(later)["cause"][0]
    assert (firmware["weight"], firmware["learned"]) == (7, LATER)
    assert "if you take it over" not in later


def test_what_is_missing_is_written_with_its_day() -> None:
    text, _ = write_causes(BOARD, [_cause("fan", 5, affects={"load run": 0.8})], DAY)
    fan = tomllib.loads(text)["cause"][1]
    assert fan == {"name": "fan", "weight": 5, "affects": {"load run": 0.8}, "learned": DAY}


def test_a_cause_that_is_missing_is_added() -> None:
    text, (wrote,) = write_causes(BOARD, [_cause("a loose screw", 1, 1)], DAY)
    assert tomllib.loads(text)["cause"][2] == {"name": "a loose screw", "weight": 1, "learned": DAY}
    assert wrote.how == "a new cause"
    assert text.startswith(BOARD)


def test_what_was_learned_is_renewed_and_learning_twice_changes_nothing() -> None:
    once, _ = write_causes(BOARD, [_cause("fan", 5)], DAY)
    again, (same,) = write_causes(once, [_cause("fan", 5)], DAY)
    assert (again, same.how) == (once, "unchanged")
    later, (wrote,) = write_causes(once, [_cause("fan", 6)], LATER)
    assert wrote.how == "renewed"
    assert tomllib.loads(later)["cause"][1] == {"name": "fan", "weight": 6, "learned": LATER}
    assert later.count("# learned from") == 1


def test_a_value_changed_by_hand_since_stays() -> None:
    once, _ = write_causes(BOARD, [_cause("fan", 5)], DAY)
    by_hand = once.replace("weight = 5", "weight = 9")
    text, (wrote,) = write_causes(by_hand, [_cause("fan", 6)], LATER)
    assert wrote.how == "beside"
    assert tomllib.loads(text)["cause"][1]["weight"] == 9
    assert tomllib.loads(text)["cause"][1]["learned"] == DAY


@pytest.mark.parametrize("table", ["[cause.affects]\npicture = 0.9\n"])
def test_a_table_of_its_own_is_left_alone(table: str) -> None:
    text, wrote = write_causes(BOARD + table, [_cause("fan", 5, affects={"picture": 0.5})], DAY)
    assert tomllib.loads(text)["cause"][1]["affects"] == {"picture": 0.9}
    assert wrote[-1].how.startswith("left out")
