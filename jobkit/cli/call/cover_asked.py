"""The warranty of a job that a call names, told only where all that it goes by can be read."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.facts import Facts
    from jobkit.jobs.job import Job
    from jobkit.reckon.warranty.cover import Cover


def cover_asked(opened: OpenBook, job: Job, known: Mapping[str, Facts], on: date) -> Cover:
    """Return the cover of a job; raise MisuseError where the bench's terms, or a job of its chain, cannot be read."""
    from jobkit.reckon.warranty.cover import NEEDED, cover

    for file in opened.own:
        if file.path == "bench.toml" and any(one.place[:1] in {(), ("warranty",)} for one in file.troubles):
            raise _unreadable(job, "bench.toml has errors", file.path)
    found = cover(job.id, known, opened.bench.settings.warranty, on)
    for each in (known[name] for name in found.chain if name in known):
        broken = next((table for table in each.unreadable if table in NEEDED), None)
        if broken:
            raise _unreadable(job, f'"{broken}" in {each.id} has errors', each.path)
    return found


def _unreadable(job: Job, why: str, path: str) -> MisuseError:
    return MisuseError(f"the warranty of {job.id} is not known while {why}", f"see `jobkit lint {path}`")
