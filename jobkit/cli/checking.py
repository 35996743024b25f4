"""One state of the book checked: loads all that reads and judges, so it is itself loaded only when that is needed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book import git
from jobkit.book.beside import beside
from jobkit.book.clients import clients_file
from jobkit.book.git.mentions import mentioning
from jobkit.book.load import OpenBook, load_jobs, open_book
from jobkit.book.shelf import Index, Shelf, Tree, kind_of
from jobkit.cli.clock import day
from jobkit.cli.named_files import Wanted, everything, named
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Settings
from jobkit.lint.leaning import is_leaned_on
from jobkit.lint.report import Report
from jobkit.lint.run import lint
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.cli.linting import LintCall


def check(root: Path, shelf: Shelf, call: LintCall) -> tuple[Report, str]:
    """Check what lies on a shelf, and say in which time zone the bench is."""
    wanted, around = named(shelf, root, call.paths), beside(root, shelf)
    if isinstance(shelf, Index):
        wanted = _both(wanted, _staged(shelf, around.before))
    book = _with_clients(open_book(shelf))
    settings = book.bench.settings
    bench = book.bench._replace(today=_today(call.on, settings), beside=around)
    return lint(book._replace(bench=bench), wanted), settings.zone


def _with_clients(book: OpenBook) -> OpenBook:
    """Add private/clients.toml to what is checked: it lies in the working tree alone."""
    clients = clients_file(book.shelf) if isinstance(book.shelf, Tree) else None
    return book._replace(own=(*book.own, clients)) if clients else book


def _today(on: str | None, settings: Settings) -> date:
    """Tell the day at the bench; where its zone is none, which a rule says, the day of this machine."""
    try:
        return day(on, settings)
    except MisuseError:
        if on is not None:
            raise
        return date.today()


def _staged(shelf: Index, before: Mapping[str, Job]) -> Wanted:
    """Pick what the next commit changes, and the jobs that may be in the wrong by it.

    All where it changes what every job is held to, or takes a file away.
    """
    changed = git.staged_names(shelf.repo, gone=True)
    known = frozenset(shelf.below())
    if any(name not in known or kind_of(name) in _FOR_ALL for name in changed):
        return everything
    return frozenset((*changed, *_leaning(shelf, before))).__contains__


def _leaning(shelf: Index, before: Mapping[str, Job]) -> Iterator[str]:
    """Yield the jobs that mention one that changed in what others ask of it."""
    moved = [
        job.id
        for loaded in load_jobs(shelf, before)
        if loaded.job and is_leaned_on(facts_of(job := before[loaded.path]), facts_of(loaded.job))
    ]
    yield from (path for path in mentioning(shelf.repo, "jobs", moved) if kind_of(path) == "job")


_FOR_ALL = frozenset(("bench", "meters", "stock", "board"))


def _both(first: Wanted, second: Wanted) -> Wanted:
    return lambda path: first(path) and second(path)
