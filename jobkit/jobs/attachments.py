"""The files that a job names: logs, firmware copies, photos."""

from __future__ import annotations

from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.sorts import ROWS

_WITH_FILES = tuple(row for row in ROWS if row.files)


@memoise_last
def attachments(job: Job) -> tuple[tuple[Place, str], ...]:
    """List each file that a job names, as written, with the place of the name."""
    found: list[tuple[Place, str]] = []
    for sort in _WITH_FILES:
        for record in sort.of(job):
            for key in sort.files:
                named = sort.value(record, key)
                place = (*(record.path if sort.phrase else sort.path), key)
                if isinstance(named, tuple):
                    found += (((*place, at), photo.file) for at, photo in enumerate(named))
                elif named is not None:
                    found.append((place, named))
    return tuple(found)
