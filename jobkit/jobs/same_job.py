"""Whether two states of a file are of one job: told by what a job is, not by how alike two texts look."""

from __future__ import annotations

from jobkit.jobs.history import JobState
from jobkit.jobs.job import Job

ALIKE = 0.6
"""From this likeness on two jobs are one: three marks of five."""


def is_same_job(was: JobState, is_: JobState) -> bool:
    """Tell whether two states are of one job; of those that cannot be read, only the same content is."""
    return was.blob == is_.blob or bool(was.job and is_.job and likeness(was.job, is_.job) >= ALIKE)


def likeness(was: Job, is_: Job) -> float:
    """Tell how far two jobs agree in what makes a job this one, from 0 to 1."""
    return alikeness(marks(was), marks(is_))


Marks = tuple[str, ...]
"""What makes a job this one: client, title, complaint, serial number, day of receipt; "" for what it does not say."""


def marks(job: Job) -> Marks:
    """Give what makes a job this one."""
    said = job.client, job.title, job.intake.complaint, job.board.serial, job.dates.received
    return tuple("" if one is None else str(one) for one in said)


def alikeness(was: Marks, is_: Marks) -> float:
    """Tell how far the marks of two jobs agree, from 0 to 1; what neither says does not count."""
    pairs = [(one, other) for one, other in zip(was, is_, strict=True) if one or other]
    return len([one for one, other in pairs if one == other]) / max(len(pairs), 1)


def are_one(was: Marks, is_: Marks) -> bool:
    """Tell whether marks are of one job; two boards of one client may differ in nothing but their serial numbers.

    >>> one = ("c-001", "No picture", "No picture", "R3-0001", "2026-10-19")
    >>> are_one(one, (*one[:3], "r3-0001", "")), are_one(one, (*one[:3], "R3-0002", one[4]))
    (True, False)
    """
    serials = {was[_SERIAL].casefold(), is_[_SERIAL].casefold()} - {""}
    return len(serials) < 2 and alikeness(was, is_) >= ALIKE


_SERIAL = 3
"""The place of the serial number among the marks."""
