"""Which fitting a part was used for: the nearest in time."""

from __future__ import annotations

from datetime import datetime

import pytest

from jobkit.jobs.entries import Used, Work
from jobkit.reckon.heat.fittings import used_with_fitting


def at(hour: int) -> datetime:
    return datetime(2026, 10, 8, hour)


def fitted(hour: int | None) -> Work:
    return Work(("work", hour or 0), at(hour) if hour else None, did="fit", part="U3")


NEAREST: dict[str, tuple[int | None, int]] = {
    "before all": (7, 8),
    "just after the first": (9, 8),
    "just before the second": (11, 12),
    "the earlier of two as near": (10, 8),
    "just after the second": (13, 12),
    "at the third": (18, 18),
    "after all": (20, 18),
    "the first where no time is known": (None, 8),
}


@pytest.mark.parametrize(("taken", "hour"), NEAREST.values(), ids=NEAREST)
def test_a_part_belongs_to_the_nearest_fitting(taken: int | None, hour: int) -> None:
    work = [fitted(18), fitted(8), Work((), at(taken or 1), did="remove", part="U3"), fitted(12)]
    used = [Used((), at(taken) if taken else None, part="U3", item="memory-16gb")]
    ((_, fitting),) = used_with_fitting(work, used)
    assert fitting == fitted(hour)


def test_a_part_that_was_not_fitted_belongs_to_none() -> None:
    assert used_with_fitting([fitted(8)], [Used((), at(8), part="U4")]) == ()
