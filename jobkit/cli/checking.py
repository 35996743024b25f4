"""One state of the book checked: loads all that reads and judges, so it is itself loaded only when that is needed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book import git
from jobkit.book.before import before_in_place
from jobkit.book.beside import beside, beside_few
from jobkit.book.clients import clients_file
from jobkit.book.git_tree import GitTree
from jobkit.book.load import OpenBook, open_book, open_own
from jobkit.book.paths import Paths
from jobkit.book.shelf import Index, Shelf, Tree, kind_of
from jobkit.book.stood import Moved
from jobkit.book.untracked import Untracked
from jobkit.cli.clock import day
from jobkit.cli.staged import staged
from jobkit.jobs.bench import Beside
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Settings
from jobkit.lint.again import again
from jobkit.lint.few import lint_few
from jobkit.lint.report import Report
from jobkit.lint.run import lint
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.cli.linting import LintCall
    from jobkit.cli.named_files import Wanted


_FEW = 50
"""More jobs than these are checked sooner in several processes."""


def check(root: Path, shelf: Shelf, call: LintCall) -> tuple[Report, str]:
    """Check what lies on a shelf, and say in which time zone the bench is."""
    wanted = _named(shelf, root, call)
    picked = staged(shelf) if isinstance(shelf, Index) else None
    if isinstance(shelf, Index) and picked:
        wanted = _both(wanted, picked.paths.__contains__)
        jobs = sorted(path for path in picked.paths if kind_of(path) == "job" and wanted(path))
        if len(jobs) <= _FEW and shelf.has_jobs_besides(jobs):
            book = _of_day(open_own(shelf, Paths(shelf)), call, beside_few(shelf, picked.before))
            return lint_few(book, shelf, wanted, jobs), book.bench.settings.zone
    book = _of_day(_with_clients(open_book(shelf)), call, beside(root, shelf))
    return lint(book, wanted), book.bench.settings.zone


def _named(shelf: Shelf, root: Path, call: LintCall) -> Wanted:
    if not call.paths:
        return lambda _path: True
    # The hook, and a lint of all, name no files.
    from jobkit.cli.named_files import named

    return named(shelf, root, call.paths)


def open_few(shelf: GitTree) -> OpenBook:
    """Read the bench's own files alone; this needs no answer of git's."""
    return open_own(shelf, Paths(shelf))


def check_again(
    shelf: GitTree, book: OpenBook, call: LintCall, moved: Mapping[str, Moved]
) -> list[Finding] | None:
    """Check a few jobs of the working tree as `lint.again` does; no job has come or gone."""
    book = _of_day(book, call, Beside(Untracked(shelf.repo, shelf.is_listed)))

    def before(bound: list[Moved]) -> Mapping[str, Job]:
        swaps = [git.Swap(one.path, one.committed) for one in bound]
        return before_in_place(swaps, partial(git.read_blobs, shelf.repo))

    return again(book, moved, before)


def _of_day(book: OpenBook, call: LintCall, around: Beside) -> OpenBook:
    """Add the day, and what lies round the book."""
    bench = book.bench._replace(today=_today(call.on, book.bench.settings), beside=around)
    return book._replace(bench=bench)


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


def _both(first: Wanted, second: Wanted) -> Wanted:
    return lambda path: first(path) and second(path)
