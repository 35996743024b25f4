"""Bake times by level, thickness and oven."""

from __future__ import annotations

from decimal import Decimal

import pytest

from jobkit.reckon.heat.baking import bake_hours, needs_bake

# IPC/JEDEC J-STD-033, bake conditions for surface-mount packages at 125 °C, read in a copy that does not name its
# revision: hours where the floor life was over for longer than 72 hours, and for no longer. Level 2a up to 1.4 mm is
# left out: that copy has 5 and 3 hours, another 7 and 5, and the longer bake is taken.
COPY = {
    ("3", "1.4"): (9, 7),
    ("4", "1.4"): (11, 7),
    ("5", "1.4"): (12, 7),
    ("5a", "1.4"): (16, 10),
    ("2a", "2.0"): (21, 16),
    ("3", "2.0"): (27, 17),
    ("4", "2.0"): (34, 20),
    ("5", "2.0"): (40, 25),
}
AT_125 = Decimal(125)


@pytest.mark.parametrize(("level", "body"), COPY, ids=" ".join)
def test_hours_at_125(level: str, body: str) -> None:
    found = tuple(bake_hours(level, Decimal(body), AT_125, past) for past in (73, 72))
    assert found == COPY[level, body]


def test_where_copies_disagree_the_longer_bake_counts() -> None:
    assert (bake_hours("2a", Decimal("1.4"), AT_125), bake_hours("2a", Decimal("1.4"), AT_125, 10)) == (7, 5)


@pytest.mark.parametrize("level", ["2", "2a", "3", "4", "5", "5a"])
def test_a_thick_package_and_one_of_unknown_thickness_take_48_hours(level: str) -> None:
    """From memory of J-STD-033B.1 and C: 48 hours at 125 °C above 2 mm."""
    assert bake_hours(level, Decimal("2.1"), AT_125) == bake_hours(level, None, AT_125, 1) == 48


OVENS = {  # level 3 up to 1.4 mm, from memory of J-STD-033B.1: 9 h at 125 °C, 33 h at 90 °C, 13 days at 40 °C
    "125": 9, "130": 9, "124": 33, "90": 33, "89": 312, "40": 312, "39": None,
}  # fmt: skip


@pytest.mark.parametrize(("oven", "hours"), OVENS.items())
def test_an_oven_between_two_columns_counts_as_the_cooler_one(oven: str, hours: int | None) -> None:
    assert bake_hours("3", Decimal("1.1"), Decimal(oven)) == hours


def test_cooler_thicker_wetter_and_more_sensitive_never_take_less() -> None:
    levels, bodies = ("2", "2a", "3", "4", "5", "5a", "6"), (Decimal(1), Decimal("1.5"), Decimal(3))
    for oven in (125, 90, 40):
        table = [[bake_hours(level, body, Decimal(oven)) or 0 for body in bodies] for level in levels]
        assert all(row == sorted(row) for row in table)
        assert all(list(column) == sorted(column) for column in zip(*table, strict=True))
        for level in levels:
            for body in bodies:
                just_past = bake_hours(level, body, Decimal(oven), 72) or 0
                assert just_past <= (bake_hours(level, body, Decimal(oven)) or 0)


def test_level_1_needs_none_and_level_6_always_the_longest() -> None:
    assert not needs_bake("1")
    assert not needs_bake(None)
    assert bake_hours("1", None, AT_125) is None
    assert needs_bake("6")
    assert bake_hours("6", Decimal(1), AT_125, 1) == 16
