"""The course of a sensor, cut into parts of equal time."""

from __future__ import annotations

import pytest

from jobkit.reckon.load_run.curve import course_of
from jobkit.reckon.statistics.series import Series

COURSES: dict[str, tuple[list[float], list[float], tuple[float | None, ...]]] = {
    "a part without values": ([0, 1, 2, 9], [20, 22, 30, 40], (24, None, 40)),
    "two minutes in three parts": ([60, 80, 100, 120, 160, 180], [1, 3, 5, 7, 9, 11], (2, 6, 10)),
    "one moment": ([5, 5], [20, 30], (25, None, None)),
    "none": ([], [], (None, None, None)),
}


@pytest.mark.parametrize(("times", "values", "course"), COURSES.values(), ids=COURSES)
def test_the_mean_of_each_part(
    times: list[float], values: list[float], course: tuple[float | None, ...]
) -> None:
    assert course_of(Series(times, values), 3) == course
