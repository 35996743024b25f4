"""The stays of one board, one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from jobkit.jobs.facts import Facts
from jobkit.jobs.serial import is_same_serial


def earlier_stays(
    job: Facts, same_serial: Iterable[Facts], named: Callable[[str], Iterable[Facts]]
) -> list[Facts]:
    """Give the earlier stays of a board, in the order in which it came.

    They are the jobs with its serial number, and those that its comeback leads back to, where one of the two has no
    serial number. `named` gives the jobs of an id.
    """
    found = {one.path: one for one in same_serial}
    before, seen = job.comeback_of, {job.id}
    while before and before not in seen:
        seen.add(before)
        earlier = [one for one in named(before) if _may_be_one_board(one, job)]
        found |= {one.path: one for one in earlier}
        before = earlier[0].comeback_of if earlier else ""
    return sorted((one for one in found.values() if _came_before(one, job)), key=_when)


def _may_be_one_board(one: Facts, job: Facts) -> bool:
    return not (one.serial and job.serial) or is_same_serial(one.serial, job.serial)


def _came_before(one: Facts, job: Facts) -> bool:
    """Tell which of two stays was first: of two on one day that with the lower id; one on its way comes last."""
    return one.path != job.path and bool(one.received) and (not job.received or _when(one) < _when(job))


def _when(one: Facts) -> tuple[str, str]:
    return one.received, one.id
