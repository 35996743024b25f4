"""The one job that a command was asked about."""

from __future__ import annotations

from jobkit.book.read.load import OpenBook, load_job
from jobkit.book.read.lookup import job_path
from jobkit.jobs.job import Job
from jobkit.units.errors import MisuseError


def job_asked(book: OpenBook, name: str) -> Job:
    """Load the job that `name` means; raises MisuseError where there is none or its file cannot be parsed."""
    path = job_path(book, name)
    loaded = load_job(path, book.shelf.read(path))
    if loaded.job is None:
        trouble = loaded.troubles[0]
        raise MisuseError(f"{path} line {trouble.line}: {trouble.message}", trouble.mend)
    return loaded.job
