"""What the other good boards of a design read, asked for each of many jobs in turn."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.manner import Manner
from jobkit.jobs.serial import serial_key
from jobkit.reckon.readings.good_boards import good_jobs
from jobkit.reckon.readings.tally import Shown, Tally, readings_shown
from jobkit.reckon.readings.usual import Usual


class OtherBoards:
    """The good boards of a design, counted once; of each job its own board is left out, as `usual_of` does with `but`.

    Thousands of boards read a few hundred different values, so what is left without one of them is soon known.
    """

    def __init__(self, design: str, facts: Iterable[Facts], bench: Bench) -> None:
        """Count the good boards of a design among the facts of all jobs."""
        jobs = good_jobs(design, facts)[0]
        self._by_id: dict[str, list[Facts]] = defaultdict(list)
        self._by_serial: dict[str, list[Facts]] = defaultdict(list)
        for one in jobs:
            self._by_id[one.id].append(one)
            if one.serial:
                self._by_serial[serial_key(one.serial)].append(one)
        self._design, self._meters = bench.designs.get(design), bench.meters
        self._tally = Tally()
        self._tally.add(jobs)
        self._known: dict[tuple[Manner, frozenset[tuple[Shown, int]]], Usual | None] = {}

    def usual_for(self, job: Facts) -> Callable[[Manner], Usual | None]:
        """Say what boards other than that of a job read, in each manner that is asked for."""
        stays = self._by_serial.get(serial_key(job.serial), []) if job.serial else []
        own = _by_manner({one.path: one for one in (*self._by_id.get(job.id, ()), *stays)}.values())
        return lambda manner: self._usual(manner, own.get(manner, Counter()))

    def _usual(self, manner: Manner, without: Counter[Shown]) -> Usual | None:
        asked = manner, frozenset(without.items())
        if asked not in self._known:
            self._known[asked] = self._tally.usual(manner, self._meters, self._design, without)
        return self._known[asked]


def _by_manner(jobs: Iterable[Facts]) -> Mapping[Manner, Counter[Shown]]:
    counts: dict[Manner, Counter[Shown]] = defaultdict(Counter)
    for manner, shown in readings_shown(jobs):
        counts[manner][shown] += 1
    return counts
