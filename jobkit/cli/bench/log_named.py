"""The log that a call names: by its file, or by a job of the book around."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from posixpath import normpath
from typing import IO, Generic, TypeVar

import click

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.named import place_named
from jobkit.book.disk.reading import open_named
from jobkit.book.logs.columns import LogOptions, Progress
from jobkit.book.logs.trouble import LogTrouble
from jobkit.book.read.load import OpenBook, load_job, open_book
from jobkit.book.shelf.find import NoBookError, find_book
from jobkit.cli.call.job_asked import job_with_log
from jobkit.cli.call.options import one_book
from jobkit.cli.call.progress import progress_bar
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.entries import Trial, Work
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.quantity import Quantity, parse_quantity

_Read = TypeVar("_Read")
_Entry = TypeVar("_Entry", Trial, Work)
_BARE = re.compile(r"[+\-−]?[0-9]+(?:[.,][0-9]+)?")


class NamedJob(NamedTuple):
    """A job that was named in place of a log, or whose folder the log is in; None where it cannot be parsed."""

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


def job_of_file(path: Path) -> NamedJob | None:
    """Find the job in whose folder a log is; None for a log that is in no job's folder."""
    try:
        root = find_book(path.parent)
    except NoBookError:
        return None
    with in_words(str(path), "read"):
        place = Path(str(place_named(str(path))))
    if not place.is_relative_to(root):
        return None
    inside = place.relative_to(root)
    if len(inside.parts) != 4 or inside.parts[0] != "jobs":
        return None
    book = open_book(shelf_of(root))
    return NamedJob(root, book, job_at(book, f"{inside.parent.as_posix()}.toml"))


class Naming(NamedTuple, Generic[_Entry]):
    """Entries of a job that may name a log: which they are, the log of each, and the words for them and for it."""

    entries: Callable[[Job], Sequence[_Entry]]
    log: Callable[[_Entry], str | None]
    called: str
    kind: str
    fix: str


class EntryLog(NamedTuple, Generic[_Entry]):
    """A log: its file, the entry that names it, and the job and book that have both, where there are such."""

    path: Path
    entry: _Entry | None = None
    job: Job | None = None
    book: OpenBook | None = None


def entry_log(
    ctx: click.Context, books: list[str] | None, name: str, naming: Naming[_Entry]
) -> EntryLog[_Entry]:
    """Find a log by its file, or by the job whose last entry with a log it is of; raises MisuseError."""
    named_log = file_or_job(ctx, books, name)
    if isinstance(named_log, Path):
        found = _of_file(named_log, naming)
        if found.book or not (books or ctx.obj):
            return found
        return EntryLog(named_log, book=open_book(shelf_of(one_book(ctx, books))))
    root, book, job = named_log
    entry = _last([one for one in naming.entries(job) if naming.log(one)] if job else [])
    file = naming.log(entry) if entry else None
    if job is None or file is None:
        raise MisuseError(f"no {naming.called} of {name} names a {naming.kind}", naming.fix)
    return EntryLog(log_beside(root, job, file), entry, job, book)


def log_beside(root: Path, job: Job, name: str) -> Path:
    """Find a log that an entry names; raises MisuseError for one outside the folder of its job."""
    folder = job.path.removesuffix(".toml")
    path = normpath(attachment_path(job.path, name))
    if not path.startswith(f"{folder}/"):
        raise MisuseError(
            f"the log {name} of {job.id} is outside the folder of the job",
            f"copy it into {folder}/, or name the file",
        )
    return root / path


def _of_file(path: Path, naming: Naming[_Entry]) -> EntryLog[_Entry]:
    """See whether a file is the log of an entry: then what it is checked against is there."""
    beside = job_of_file(path)
    if beside is None:
        return EntryLog(path)
    entries = naming.entries(beside.job) if beside.job else ()
    return EntryLog(
        path, _last([one for one in entries if naming.log(one) == path.name]), beside.job, beside.book
    )


def _last(entries: Sequence[_Entry]) -> _Entry | None:
    return max(entries, key=lambda one: one.at.isoformat() if one.at else "", default=None)


def temperature(text: str) -> Quantity:
    """Read a temperature that a call states; a bare number is in °C. Raises QuantityError."""
    bare = _BARE.fullmatch(text.strip())
    return parse_quantity(f"{bare[0].replace(',', '.')} °C" if bare else text.strip(), "temperature")


def read_log(
    path: Path,
    read: Callable[[IO[bytes], LogOptions, Progress | None], _Read | LogTrouble],
    options: LogOptions,
) -> _Read:
    """Read a log with a progress bar; raises MisuseError for one that cannot be used."""
    with in_words(str(path), "read"):
        stream, size = open_named(str(path))
        with stream, progress_bar(f"reading {path.name}", size) as progress:
            log = read(stream, options, progress)
    if isinstance(log, LogTrouble):
        where = f" line {log.line}" if log.line else ""
        raise MisuseError(f"{path}{where}: {log.message}", log.fix or "check how it was saved")
    return log
