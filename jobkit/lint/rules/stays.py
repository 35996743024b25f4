"""The earlier stays of a board, found by its serial number and by its comebacks."""

from __future__ import annotations

from collections import defaultdict

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.serial import is_same_serial, serial_key
from jobkit.jobs.stays import earlier_stays
from jobkit.lint.protocols import Jobs


def earlier_stays_of(job: Facts, jobs: Jobs, bench: Bench) -> list[Facts]:
    """Give the earlier stays of the board of a job, in the order in which it came."""
    if not (job.serial or job.comeback_of):
        return []
    return earlier_stays(job, _same_serial(job, jobs, bench), jobs.named)


def _same_serial(job: Facts, jobs: Jobs, bench: Bench) -> list[Facts]:
    if not job.serial:
        return []
    if jobs.is_whole:
        return jobs.once(_stays_by_serial, bench).get(serial_key(job.serial), [])
    return [one for one in jobs.of_board(job.serial) if is_same_serial(one.serial, job.serial)]


def _stays_by_serial(facts: tuple[Facts, ...], _bench: Bench) -> dict[str, list[Facts]]:
    stays: dict[str, list[Facts]] = defaultdict(list)
    for one in facts:
        if one.serial:
            stays[serial_key(one.serial)].append(one)
    return stays
