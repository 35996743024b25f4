"""The entries of a job as lines of a bench diary: when, who, and each reading with its verdict."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jobkit.jobs.finding import Place
from jobkit.jobs.phrases import said
from jobkit.jobs.sorts import ENTRIES
from jobkit.reckon.changes.job_changes import JobVersion, judge


def diary(known: JobVersion) -> Iterator[tuple[Place, str]]:
    """Yield the place of each entry that says where it is in the file, and its line; all that it says is in it.

    An entry of which something cannot be read is left out.
    """
    verdict = judge(known)
    for sort in ENTRIES:
        for entry in sort.of(known.job):
            place: Place = getattr(entry, "path", ())
            if place and not known.job.is_broken(*place):
                yield place, f"{_head(entry)}{', '.join(sort.told(entry, verdict).parts())}"


def _head(entry: Any) -> str:
    words = " ".join(filter(None, (said(entry.at), entry.by)))
    return f"{words}: " if words else ""
