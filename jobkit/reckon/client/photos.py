"""The photos of a job, in the order in which they were taken, each with what it is of."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from jobkit.jobs.entries import Pad, Photo, Seen, Work
from jobkit.jobs.job import Job
from jobkit.units.phrase import phrase


def photos(job: Job) -> Iterator[tuple[str, Photo]]:
    """Yield the photos of the intake, then those of checks, pads and work by time, each with what it is of."""
    yield from ((phrase("how it came"), photo) for photo in job.intake.photos)
    entries: list[Seen | Pad | Work] = [*job.seen, *job.pads, *job.work]
    for entry in sorted(entries, key=lambda one: one.at or datetime.max):
        yield from ((_subject(entry), photo) for photo in entry.photos)


def _subject(entry: Seen | Pad | Work) -> str:
    if isinstance(entry, Seen):
        return phrase("check: {check}", check=entry.check) if entry.check else phrase("a check")
    if isinstance(entry, Pad):
        return _pad(entry)
    return phrase("work on {part}", part=entry.part) if entry.part else phrase("work on the board")


def _pad(pad: Pad) -> str:
    if pad.ball and pad.part:
        return phrase("pad {ball} of {part}", ball=pad.ball, part=pad.part)
    if pad.part:
        return phrase("pad of {part}", part=pad.part)
    return phrase("pad {ball}", ball=pad.ball) if pad.ball else phrase("pad")
