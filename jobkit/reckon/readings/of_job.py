"""The readings of the job in hand, each looked at once however many rules ask."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.manner import last_proof_rows
from jobkit.jobs.memoise import memoise_last
from jobkit.reckon.readings.limits import Judged, QuickVerdict, judge_reading, screen_reading

_MOST = 4096
"""So many readings are remembered, which is more than a bench has that differ in more than their time."""


class _Looks:
    """The looks at readings on one bench.

    Boards of one design read alike, so that the same values come again in job after job, and what was seen of them
    holds: a look depends on the bench, the design and the reading alone, but for when and by whom it was taken.
    """

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._known: dict[tuple[object, ...], QuickVerdict] = {}

    def at(self, job: Job) -> Iterator[QuickVerdict]:
        """Look at each reading of a job, in the order of the file."""
        known, design = self._known, job.board.design or ""
        for reading in job.readings:
            alike = (design, reading.apart_from_when())
            seen = known.get(alike)
            if seen is None:
                if len(known) >= _MOST:
                    known.clear()
                seen = known[alike] = screen_reading(reading, self._bench, self._bench.designs.get(design))
            yield QuickVerdict(reading, *seen[1:])


@memoise_last
def _looks(bench: Bench) -> _Looks:
    return _Looks(bench)


@memoise_last
def quick_verdicts(job: Job, bench: Bench) -> tuple[QuickVerdict, ...]:
    """Look at each reading of a job, in the order of the file."""
    return tuple(_looks(bench).at(job))


@memoise_last
def proof_quick_verdicts(job: Job, bench: Bench) -> tuple[QuickVerdict, ...]:
    """Look at the last proof reading of each point and manner."""
    looked = quick_verdicts(job, bench)
    return tuple(looked[row] for row in last_proof_rows(job.readings))


@memoise_last
def doubtful_proofs(job: Job, bench: Bench) -> tuple[Judged, ...]:
    """Judge those of the last proof readings that do not lie clearly within their limit."""
    design = bench.designs.get(job.board.design or "")
    return tuple(
        judge_reading(one.reading, bench, design)
        for one in proof_quick_verdicts(job, bench)
        if not one.clearly_in
    )
