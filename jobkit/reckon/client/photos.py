"""The photos of a job, in the order in which they were taken, each with what it is of."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from jobkit.jobs.entries import Pad, Photo, Seen, Work
from jobkit.jobs.job import Job


def photos(job: Job) -> Iterator[tuple[str, Photo]]:
    """Yield the photos of the intake, then those of checks, pads and work by time, each with what it is of."""
    yield from (("how it came", photo) for photo in job.intake.photos)
    entries: list[Seen | Pad | Work] = [*job.seen, *job.pads, *job.work]
    for entry in sorted(entries, key=lambda one: one.at or datetime.max):
        yield from ((_subject(entry), photo) for photo in entry.photos)


def _subject(entry: Seen | Pad | Work) -> str:
    if isinstance(entry, Seen):
        return f"check: {entry.check}" if entry.check else "a check"
    if isinstance(entry, Pad):
        return " ".join(filter(None, ("pad", entry.ball, entry.part and f"of {entry.part}")))
    return f"work on {entry.part}" if entry.part else "work on the board"
