"""The stays of a board, read from their files as attachments are."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job


def read_stays(stays: Iterable[Facts], bench: Bench) -> tuple[Job, ...]:
    """Read jobs of which the facts are known, in the same order; one that cannot be read is left out."""
    read = (bench.contents.made_of(one.path, _reader(one.path)) for one in stays)
    return tuple(job for job in read if job)


@cache
def _reader(path: str) -> Callable[[bytes], Job | None]:
    """Return the one function that reads the job of a path, so that what it made is remembered."""
    # Most boards come once.
    from jobkit.book.read.load import load_job  # noqa: PLC0415

    return lambda content: load_job(path, content).job
