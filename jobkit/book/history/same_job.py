"""Whether two states of a file are of one job: told by what a job is, not by how alike two texts look."""

from __future__ import annotations

from typing import Any

from jobkit.jobs.history import JobState
from jobkit.jobs.job import Job
from jobkit.jobs.serial import serial_key

ALIKE = 0.6
"""From this likeness on two jobs are one: three marks of five."""


def is_same_job(was: JobState, is_: JobState) -> bool:
    """Tell whether two states are of one job; of those that cannot be read, only the same content is."""
    return was.blob == is_.blob or bool(was.job and is_.job and likeness(was.job, is_.job) >= ALIKE)


def likeness(was: Job, is_: Job) -> float:
    """Tell how far two jobs agree in what makes a job this one, from 0 to 1."""
    pairs = [(one, other) for one, other in zip(_marks(was), _marks(is_), strict=True) if one or other]
    return len([one for one, other in pairs if one == other]) / max(len(pairs), 1)


def _marks(job: Job) -> tuple[Any, ...]:
    return job.client, job.title, job.intake.complaint, serial_key(job.board.serial or ""), job.dates.received
