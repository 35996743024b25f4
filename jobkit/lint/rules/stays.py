"""The earlier stays of a board, found by its serial number."""

from __future__ import annotations

from collections import defaultdict

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.serial import is_same_serial, serial_key
from jobkit.lint.protocols import Jobs


def earlier_stays(job: Facts, jobs: Jobs, bench: Bench) -> list[Facts]:
    """Give the jobs with the serial of a job that came in before it, in the order in which they came."""
    if not job.serial or not job.received:
        return []
    if jobs.is_whole:
        stays = jobs.once(_stays_by_serial, bench).get(serial_key(job.serial), [])
    else:
        stays = [one for one in jobs.mentioning(job.serial) if is_same_serial(one.serial, job.serial)]
    earlier = (one for one in stays if one.path != job.path and one.received and one.received < job.received)
    return sorted(earlier, key=lambda one: (one.received, one.id))


def _stays_by_serial(facts: tuple[Facts, ...], _bench: Bench) -> dict[str, list[Facts]]:
    stays: dict[str, list[Facts]] = defaultdict(list)
    for one in facts:
        if one.serial:
            stays[serial_key(one.serial)].append(one)
    return stays
