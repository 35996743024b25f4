"""The odd one out among readings that should agree."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest

from jobkit.jobs.design import Design, Point
from jobkit.jobs.entries import Reading
from jobkit.reckon.readings.odd_one_out import ENOUGH, ReadingGroup, odd_in_words, reading_groups
from jobkit.reckon.statistics.outliers import grubbs_critical
from jobkit.units.quantity import parse_quantity
from tests.reckon.readings import COARSE, a_job, a_range, a_reading, bench, meter

DMM = meter("dmm", a_range("diode", "2 V", "0.5 3 1 mV"), a_range("diode", "20 V", "0.5 3 10 mV"))
OTHER = meter("other", a_range("diode", "2 V", "0.5 3 1 mV"), number=1)
BENCH = bench(meters={"dmm": DMM, "other": OTHER, "dmm-1": COARSE})


def _gates(values: Sequence[str], **how: Any) -> list[Reading]:
    told = {"kind": "diode", "group": "gate", "stage": "arrival", "meter": "dmm", "red_on": "ground", **how}
    return [a_reading(value, index, point=f"PG{index}", **told) for index, value in enumerate(values, 1)]


def _groups(readings: Sequence[Reading], design: Design | None = None) -> tuple[ReadingGroup, ...]:
    return reading_groups(a_job(1, readings), BENCH, design)


def _odd(readings: Sequence[Reading]) -> list[str | None]:
    return [odd.reading.point for group in _groups(readings) for odd in group.odd]


@pytest.mark.parametrize(
    ("values", "odd"),
    [
        (["0.552 V", "0.552 V", "0.551 V", "0.553 V", "0.381 V", "0.552 V"], ["PG5"]),
        (
            ["0.552 V", "0.552 V", "0.552 V", "0.381 V"],
            ["PG4"],
        ),  # MAD 0: the meter's last digit takes its place
        (["0.552 V", "0.552 V", "0.552 V", "0.555 V"], []),  # three digits off is not 3.5
        (["0.552 V", "0.552 V", "0.552 V", "0.556 V"], ["PG4"]),
        (["0.552 V", "0.381 V"], []),  # of two, either may be
        (["0.552 V", "0.552 V", "0.552 V"], []),
        (["0.552 V", "OL", "0.551 V"], ["PG2"]),
        (["0.552 V", "OL", "OL"], ["PG1"]),  # most are open
        (["0.552 V", "OL", "0.551 V", "OL"], []),  # half and half: nobody can tell
        (["OL", "OL", "OL"], []),
        (["0.552 V", "OL", "0.551 V", "0.381 V", "0.552 V"], ["PG2", "PG4"]),  # in the order of the file
    ],
    ids=str,
)
def test_which_are_odd(values: list[str], odd: list[str]) -> None:
    assert _odd(_gates(values)) == odd


def test_the_answer_tells_score_middle_and_grubbs() -> None:
    (group,) = _groups(_gates(["0.552 V", "0.552 V", "0.551 V", "0.553 V", "0.381 V", "0.552 V"]))
    assert group.median is not None
    assert (group.n, group.median.text, group.one_display) == (6, "0.552 V", True)
    (odd,) = group.odd
    # MAD 0.0005 V is below the last digit, so the digit stands in: (0.381 − 0.552) / 0.001
    assert odd.score == pytest.approx(-171)
    assert odd.grubbs is True
    assert odd_in_words(odd, group) == (
        'PG5, 0.381 V, is the odd one out of 6 readings of "gate": the median is 0.552 V, robust z −171.0, '
        "Grubbs' test agrees"
    )


def test_grubbs_is_asked_only_where_its_silence_says_something() -> None:
    for n in range(3, 12):
        largest = (n - 1) / float(n) ** 0.5
        assert (grubbs_critical(n) < 0.95 * largest) == (n >= ENOUGH)


def test_a_pair_of_odd_ones_hides_from_grubbs_and_says_so() -> None:
    (group,) = _groups(_gates(["0.55 V", "0.551 V", "0.55 V", "0.552 V", "0.551 V", "0.38 V", "0.379 V"]))
    assert [odd.grubbs for odd in group.odd] == [False, False]
    assert "Grubbs' test does not confirm it" in odd_in_words(group.odd[0], group)


def test_what_one_display_has_in_common_cancels() -> None:
    # 4 mV off. Each value has U of ± (0.5 % + 3 mV), more than that; but on one range of one meter it is common.
    values = ["0.552 V", "0.552 V", "0.552 V", "0.556 V"]
    assert _odd(_gates(values)) == ["PG4"]
    mixed = _gates(values)
    mixed[0] = mixed[0]._replace(meter="other")
    assert _odd(mixed) == []
    finer = _gates(values)
    finer[0] = finer[0]._replace(range=parse_quantity("20 V", "diode"))
    assert _odd(finer) == []
    mixed = _gates(["0.552 V", "0.552 V", "0.552 V", "0.381 V"])
    mixed[0] = mixed[0]._replace(meter="other")
    (group,) = _groups(mixed)
    words = odd_in_words(group.odd[0], group)
    assert (
        "not all from one range of one meter, so the largest uncertainty among them was allowed for" in words
    )


def test_mixed_manners_are_never_pooled() -> None:
    gates = _gates(["0.552 V", "0.552 V", "0.552 V", "0.381 V"])
    for other in (
        {"state": "warm"},
        {"red_on": None},
        {"removed": ("U5",)},
        {"to": "VCORE"},
        {"stage": "work"},
    ):
        assert _odd([*gates[:3], gates[3]._replace(**other)]) == []
    assert _odd([*gates[:3], gates[3]._replace(group="other")]) == []


def test_a_second_reading_of_a_point_takes_the_place_of_the_first() -> None:
    gates = _gates(["0.552 V", "0.552 V", "0.551 V", "0.381 V"])
    again = gates[3]._replace(path=("reading", 9), at=datetime(2026, 10, 9, 12), value=gates[0].value)
    assert _odd([*gates, again]) == []


def test_the_board_file_may_tell_which_points_are_alike() -> None:
    gates = _gates(["0.552 V", "0.552 V", "0.551 V", "0.381 V"], group=None)
    points = tuple(Point(("point", index), f"PG{index}", group="phase gate") for index in range(1, 5))
    assert _groups(gates) == ()
    (group,) = _groups(gates, Design("boards/alder-a1.toml", "alder-a1", points=points))
    assert (group.name, [odd.reading.point for odd in group.odd]) == ("phase gate", ["PG4"])


def test_without_a_meter_the_median_alone_decides() -> None:
    (group,) = _groups(_gates(["0.5 V", "0.5 V", "0.5 V", "0.5 V", "0.501 V"], meter=None))
    assert [odd.score for odd in group.odd] == [
        pytest.approx(float(Decimal("0.001") / Decimal("0.0002506628")))
    ]


def test_no_uncertainty_is_claimed_where_no_meter_is_named() -> None:
    (group,) = _groups(_gates(["0.5 V", "0.5 V", "0.5 V", "0.5 V", "0.4 V"], meter=None))
    words = odd_in_words(group.odd[0], group)
    assert "no uncertainty was allowed for" in words
    assert "their uncertainty was allowed for" not in words


def test_the_value_without_leads_is_named_beside_what_was_shown() -> None:
    shown = ["0.50 Ω", "0.51 Ω", "0.50 Ω", "0.90 Ω"]
    readings = [
        a_reading(value, index, point=f"L{index}", group="coil", meter="dmm-1")
        for index, value in enumerate(shown)
    ]
    (group,) = _groups(readings)
    assert odd_in_words(group.odd[0], group).startswith(
        "L3, 0.78 Ω (shown 0.90 Ω, minus 0.12 Ω lead resistance), is the odd one out"
    )
