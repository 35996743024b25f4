"""The readings of the job in hand, each looked at once however many rules ask."""

from __future__ import annotations

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import last_proof_rows
from jobkit.jobs.job import Job
from jobkit.jobs.remembered import remember_last
from jobkit.reckon.limits import Glimpse, Judged, glimpse, judge_reading


@remember_last
def glimpses(job: Job, bench: Bench) -> tuple[Glimpse, ...]:
    """Look at each reading of a job, in the order of the file."""
    design = bench.designs.get(job.board.design or "")
    return tuple(glimpse(reading, bench, design) for reading in job.readings)


@remember_last
def proof_glimpses(job: Job, bench: Bench) -> tuple[Glimpse, ...]:
    """Look at the last proof reading of each point and manner."""
    looked = glimpses(job, bench)
    return tuple(looked[row] for row in last_proof_rows(job.readings))


@remember_last
def doubtful_proofs(job: Job, bench: Bench) -> tuple[Judged, ...]:
    """Judge those of the last proof readings that do not lie clearly within their limit."""
    design = bench.designs.get(job.board.design or "")
    return tuple(
        judge_reading(one.reading, bench, design) for one in proof_glimpses(job, bench) if not one.clear
    )
