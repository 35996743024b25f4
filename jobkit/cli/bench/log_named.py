"""The log that a call names: by its file, or by a job of the book around."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import click

from jobkit.book.read.load import OpenBook, load_job, open_book
from jobkit.book.shelf.find import NoBookError
from jobkit.cli.call.job_asked import job_with_log
from jobkit.cli.call.options import one_book
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.job import Job
from jobkit.units.errors import MisuseError


class NamedJob(NamedTuple):
    """A job that was named in place of a log, and its book; the job is None where it cannot be parsed."""

    root: Path
    book: OpenBook
    job: Job | None


def file_or_job(ctx: click.Context, books: list[str] | None, name: str) -> Path | NamedJob:
    """Find the file that a name means, else the job; raises MisuseError where it is neither."""
    path = Path(name)
    if path.is_file():
        return path
    if path.exists():
        raise MisuseError(f"{name} is not a file", "name a log, as CSV")
    try:
        root = one_book(ctx, books)
    except NoBookError:
        message = f"{name} is not a file, and there is no book here to look for a job in"
        raise MisuseError(message, "check the name") from None
    book = open_book(shelf_of(root))
    return NamedJob(root, book, job_at(book, job_with_log(book, name)))


def job_at(book: OpenBook, path: str) -> Job | None:
    """Load the job at a path; None where there is no such job, or it cannot be parsed."""
    return load_job(path, book.shelf.read(path)).job if path in book.job_paths else None
