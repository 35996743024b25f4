"""Memory logs that a call names: where they are, of which job and design, and what they tell."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import click

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.named import place_named
from jobkit.book.disk.reading import open_named
from jobkit.book.logs.memory import WANTED
from jobkit.book.logs.trouble import LogTrouble
from jobkit.book.read.load import OpenBook, open_book
from jobkit.book.shelf.find import NoBookError, find_book
from jobkit.cli.bench.log_named import file_or_job, job_at, log_beside
from jobkit.cli.bench.log_options import Stated, log_options
from jobkit.cli.call.options import one_book
from jobkit.cli.call.own_troubles import say_own_troubles
from jobkit.cli.call.progress import progress_bar
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.design import Design
from jobkit.jobs.job import Job
from jobkit.jobs.naming import named
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.log_on_board import LogOnBoard, on_board
from jobkit.reckon.memory.log_report import LogReport, report_on
from jobkit.units.errors import MisuseError

STDIN = "-"


class Found(NamedTuple):
    """A log: its name, its file (None: standard input), and the book and job that it belongs to, if any."""

    name: str
    path: Path | None
    book: OpenBook | None = None
    job: Job | None = None


def look_at(
    ctx: click.Context, books: list[str] | None, name: str, design: str | None, stated: Stated, width: int
) -> tuple[str, LogOnBoard]:
    """Read a log and set it beside its board; raises MisuseError for a log that cannot be used."""
    found = _find(ctx, books, name)
    if design is not None and found.book is None:
        found = found._replace(book=open_book(shelf_of(one_book(ctx, books))))
    habit = found.book.bench.settings.logs.get("memory", LogHabit()) if found.book else LogHabit()
    report = read_report(found, stated, habit, width)
    board = _design(found, design)
    if found.book is not None and board is not None:
        say_own_troubles(found.book, board.name)
    return found.name, on_board(report, board, found.job, found.name)


def read_report(found: Found, stated: Stated, habit: LogHabit, width: int) -> LogReport:
    """Read a log; raises MisuseError."""
    options = log_options(stated, habit, [one.name for one in WANTED])
    with _opened(found) as (stream, size), progress_bar(f"reading {found.name}", size) as progress:
        report = report_on(stream, options, width or habit.width, progress)
    if isinstance(report, LogTrouble):
        where = f" line {report.line}" if report.line else ""
        raise MisuseError(f"{found.name}{where}: {report.message}", report.fix or "check how it was saved")
    return report


def _find(ctx: click.Context, books: list[str] | None, name: str) -> Found:
    """Find a log by its file, or by the job whose last test with a log it is of."""
    if name == STDIN:
        return Found("standard input", None)
    named_log = file_or_job(ctx, books, name)
    if isinstance(named_log, Path):
        return _of_file(named_log)
    root, book, job = named_log
    logs = [seen.log for seen in job.seen if seen.log] if job else []
    if job is None or not logs:
        raise MisuseError(
            f"no test of {name} names a log", 'write log = "memory.csv" under its [[seen]], or name the file'
        )
    return Found(logs[-1], log_beside(root, job, logs[-1]), book, job)


def _of_file(path: Path) -> Found:
    """See whether a file belongs to a job of a book."""
    try:
        root = find_book(path.parent)
    except NoBookError:
        return Found(path.name, path)
    book = open_book(shelf_of(root))
    with in_words(str(path), "read"):
        place = Path(str(place_named(str(path))))
    if not place.is_relative_to(root):
        return Found(path.name, path, book)
    folder = place.parent.relative_to(root).as_posix()
    return Found(path.name, path, book, job_at(book, f"{folder}.toml"))


def _design(found: Found, asked: str | None) -> Design | None:
    if found.book is None:
        return None
    designs = found.book.bench.designs
    if asked is not None:
        return designs[named(asked, tuple(designs), "design")]
    return designs.get(found.job.board.design or "") if found.job else None


@contextmanager
def _opened(found: Found) -> Iterator[tuple[IO[bytes], int]]:
    """Open a log; yield its bytes and its size, 0 where that is not known."""
    if found.path is None:
        yield sys.stdin.buffer, 0
        return
    with in_words(str(found.path), "read"):
        stream, size = open_named(str(found.path))
        with stream:
            yield stream, size
