"""The files that a job names: logs, firmware copies, photos."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.sorts import ROWS

_WITH_FILES = tuple(row for row in ROWS if row.files)


def attachments(job: Job) -> Iterator[tuple[Place, str]]:
    """Yield each file that a job names, as written, with the place of the name."""
    for sort in _WITH_FILES:
        for record in sort.of(job):
            place = record.path if sort.phrase else sort.path
            for key in sort.files:
                named = sort.value(record, key)
                if isinstance(named, tuple):
                    yield from (((*place, key, at), photo.file) for at, photo in enumerate(named))
                elif named is not None:
                    yield (*place, key), named
