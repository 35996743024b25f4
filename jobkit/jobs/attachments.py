"""The files that a job names: logs, firmware copies."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Protocol, TypeVar

if TYPE_CHECKING:
    # The hook asks for a path alone, and would wait for all the records of a job.
    from jobkit.jobs.finding import Place
    from jobkit.jobs.job import Job

_Made = TypeVar("_Made")


class Contents(Protocol):
    """What is in the files that jobs name, for those who work out something from it."""

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give what `make` makes of a file's content; None for a file that is not there or cannot be read.

        `make` depends on the content alone, so that its answer may be kept for as long as the content stays.
        """


class NoContents:
    """No file is at hand."""

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give nothing."""
        del path, make
        return None


def attachments(job: Job) -> Iterator[tuple[Place, str]]:
    """Yield each file that a job names, as written, with the place of the name."""
    for seen in job.seen:
        if seen.log is not None:
            yield (*seen.path, "log"), seen.log
    for work in job.work:
        if work.heat is not None:
            yield (*work.path, "heat"), work.heat
    for trial in job.trials:
        if trial.log is not None:
            yield (*trial.path, "log"), trial.log
    if job.firmware and job.firmware.saved is not None:
        yield ("firmware", "saved"), job.firmware.saved


def attachment_path(job_path: str, name: str) -> str:
    """Say where a file that a job names lies, relative to the book.

    >>> attachment_path("jobs/2026/K26-0047.toml", "load.csv")
    'jobs/2026/K26-0047/load.csv'
    """
    return f"{job_path.removesuffix('.toml')}/{name}"
