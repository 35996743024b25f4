"""The one job that a command was asked about."""

from __future__ import annotations

from pathlib import Path

from jobkit.book.history.selected import settle
from jobkit.book.read.load import OpenBook, load_job
from jobkit.book.read.lookup import NoSuchJobError, job_path
from jobkit.cli.call.streams import say
from jobkit.jobs.job import Job
from jobkit.units.errors import MisuseError
from jobkit.units.slip import quoted


def job_or_selected(root: Path, name: str | None) -> str:
    """Give the name of the job that is meant: the one selected with `on` where none is named; raises MisuseError."""
    if name:
        return name
    session, moved = settle(root)
    for line in moved:
        say(f"jobkit: {line}")
    selected = session.job
    if not selected:
        raise MisuseError("no job is selected", "name a job, or select one: `jobkit on 47`")
    return selected


def job_asked(book: OpenBook, name: str) -> Job:
    """Load the job that `name` means; raises MisuseError where there is none or its file cannot be parsed."""
    path = job_path(book, name)
    loaded = load_job(path, book.shelf.read(path))
    if loaded.job is None:
        trouble = loaded.troubles[0]
        raise MisuseError(f"{path} line {trouble.line}: {trouble.message}", trouble.mend)
    return loaded.job


def job_with_log(book: OpenBook, name: str) -> str:
    """Find a job where the name of a log was as welcome; raises MisuseError where it is neither."""
    try:
        return job_path(book, name)
    except NoSuchJobError as error:
        if "/" not in name and "." not in name:
            raise
        raise MisuseError(
            f"{quoted(name)} is not a file, and not a job of this book",
            "check the path, or see `jobkit summarise`",
        ) from error
