"""One state of the book checked: loads all that reads and judges, so it is itself loaded only when that is needed."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book.history.repository_state import repository_state, state_for_few
from jobkit.book.read.load import OpenBook, open_book, open_for_few
from jobkit.book.shelf.opening import Index, Shelf, kind_of
from jobkit.book.shelf.overlay import Overlay, WorkingTree
from jobkit.cli.call.cache_switch import cache_for
from jobkit.cli.call.clock import day
from jobkit.cli.call.progress import progress_bar
from jobkit.cli.check.lint_call import LintCall
from jobkit.cli.check.staged import staged
from jobkit.jobs.bench import RepositoryState
from jobkit.jobs.settings import Settings
from jobkit.lint.run.partial import lint_few
from jobkit.lint.run.report import Report
from jobkit.lint.run.whole_book import lint
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.cache.store import Cache
    from jobkit.cli.call.named_files import Wanted


_FEW = 50
"""More jobs than these are checked sooner in several processes."""


def check(root: Path, shelf: Shelf, call: LintCall) -> Report:
    """Check the book in the folder `root` as it is on a shelf."""
    cache = cache_for(shelf)
    if isinstance(shelf, Overlay):
        return _unsaved(root, shelf, call, cache)
    wanted = _named(shelf, root, call)
    picked = staged(shelf, cache) if isinstance(shelf, Index) else None
    if isinstance(shelf, Index) and picked:
        wanted = _both(wanted, picked.paths.__contains__)
        jobs = sorted(path for path in picked.paths if kind_of(path) == "job" and wanted(path))
        if len(jobs) <= _FEW and shelf.has_jobs_besides(jobs):
            book = open_for_few(shelf, cache)
            return lint_few(_of_day(book, call, state_for_few(shelf, picked.before)), wanted, jobs)
    book = open_book(shelf, cache)._replace(watch=progress_bar)
    return lint(_of_day(_with_clients(book), call, repository_state(root, shelf)), wanted)


def _unsaved(root: Path, shelf: Overlay, call: LintCall, cache: Cache | None) -> Report:
    """Check the files with unsaved text, in the light of the book as it is around them."""
    book = _of_day(_with_clients(open_for_few(shelf, cache)), call, repository_state(root, shelf))
    jobs = sorted(path for path in shelf.unsaved if kind_of(path) == "job")
    return lint_few(book, shelf.unsaved.__contains__, jobs)


def _named(shelf: Shelf, root: Path, call: LintCall) -> Wanted:
    if not call.paths:
        return lambda _path: True
    # The hook, and a lint of all, name no files.
    from jobkit.cli.call.named_files import named

    return named(shelf, root, call.paths)


def _of_day(book: OpenBook, call: LintCall, around: RepositoryState) -> OpenBook:
    """Add the day, and what is around the book."""
    bench = book.bench._replace(today=_today(call.on, book.bench.settings), repository=around)
    return book._replace(bench=bench)


def _with_clients(book: OpenBook) -> OpenBook:
    """Add private/clients.toml to what is checked: it is in the working tree alone."""
    if not isinstance(book.shelf, WorkingTree):
        return book
    from jobkit.book.read.clients import clients_file  # of no use to the hook

    clients = clients_file(book.shelf)
    return book._replace(own=(*book.own, clients)) if clients else book


def _today(on: str | None, settings: Settings) -> date:
    """Tell the day at the bench; where its zone is none, which a rule says, the day of this machine."""
    try:
        return day(on, settings)
    except MisuseError:
        if on is not None:
            raise
        return date.today()


def _both(first: Wanted, second: Wanted) -> Wanted:
    return lambda path: first(path) and second(path)
