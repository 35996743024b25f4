"""The readings of the job in hand: what was seen of earlier ones changes nothing."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from jobkit.book.read.load import load_jobs, open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.job import Job
from jobkit.reckon.readings import of_job as job_readings
from jobkit.reckon.readings.limits import screen_reading
from jobkit.reckon.readings.of_job import quick_verdicts
from jobkit.units.quantity import parse_quantity

BOOK = open_book(Tree(Path("jobs_example")))
JOBS = tuple(loaded.job for loaded in load_jobs(BOOK.shelf, BOOK.job_paths) if loaded.job)


@pytest.mark.parametrize("most", [0, 1, 7, 4096])
def test_each_reading_is_seen_as_if_it_were_the_only_one(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(job_readings, "_MOST", most)
    for job in (*JOBS, *map(_later, JOBS), *map(_otherwise, JOBS), *JOBS):
        design = BOOK.bench.designs.get(job.board.design or "")
        alone = tuple(screen_reading(reading, BOOK.bench, design) for reading in job.readings)
        assert quick_verdicts(job, BOOK.bench) == alone


def test_another_bench_sees_for_itself() -> None:
    job = next(job for job in JOBS if any(one.uncertainty_bound for one in quick_verdicts(job, BOOK.bench)))
    bare = BOOK.bench._replace(meters={})
    assert not any(one.uncertainty_bound for one in quick_verdicts(job, bare))
    assert any(one.uncertainty_bound for one in quick_verdicts(job, BOOK.bench))


def _later(job: Job) -> Job:
    day = timedelta(days=1)
    readings = tuple(one._replace(at=one.at and one.at + day, by="eva") for one in job.readings)
    return job._replace(readings=readings)


def _otherwise(job: Job) -> Job:
    """Give a job with the same values taken in another manner, so that other limits and ranges count."""
    readings = tuple(
        one._replace(removed=("U1",), meter=None)
        if row % 3 == 0
        else one._replace(value=parse_quantity("0.25 Ω"))
        if row % 3 == 1 and one.kind == "resistance"
        else one._replace(state="warm", note="again")
        for row, one in enumerate(job.readings)
    )
    return job._replace(readings=readings)
