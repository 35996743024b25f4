"""Lint as called from the command line, from the hook, or from a framework; needs no command-line library."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.beside import beside
from jobkit.book.clients import clients_file
from jobkit.book.find import find_book
from jobkit.book.load import OpenBook, open_book
from jobkit.book.shelf import Index, Tree, kind_of
from jobkit.cli.clock import day, day_at
from jobkit.cli.output import deliver
from jobkit.cli.shelves import shelf_of
from jobkit.cli.streams import colourful
from jobkit.jobs.settings import Settings
from jobkit.lint.run import Report, lint
from jobkit.pages.findings import FORMATS, Look
from jobkit.units.errors import MisuseError

Wanted = Callable[[str], bool]


class LintCall(NamedTuple):
    """What a call of lint asks for."""

    books: tuple[str, ...] = ()
    paths: tuple[str, ...] = ()
    staged: bool = False
    rev: str | None = None
    strict: bool = False
    format: str = "text"
    output: str | None = None
    color: str = "auto"
    on: str | None = None
    since: str | None = None


def run(call: LintCall) -> int:
    """Lint as asked, print what was found, and return 1 where a finding stands in the way, else 0."""
    if call.format not in FORMATS:
        raise MisuseError(
            f'there is no format "{call.format}" of lint', f"choose one of {', '.join(FORMATS)}"
        )
    root = _root(call)
    report = _history(root, call) if call.since else _one_state(root, call)
    look = Look(call.output is None and colourful(call.color), _prefix(root, call.format))
    deliver(FORMATS[call.format](report, look), call.output)
    return int(stops(report, strict=call.strict))


def stops(report: Report, *, strict: bool) -> bool:
    """Tell whether a report stands in the way of a commit."""
    return bool(report.count("error") or (strict and report.count("warning")))


def _root(call: LintCall) -> Path:
    if len(call.books) > 1:
        raise MisuseError("`lint` reads one book", "name one --book")
    start = Path(call.paths[0]) if call.paths and not call.books else Path.cwd()
    return find_book(call.books[0] if call.books else start)


def _one_state(root: Path, call: LintCall) -> Report:
    shelf = shelf_of(root, staged=call.staged, rev=call.rev)
    wanted = _named(root, call.paths)
    if isinstance(shelf, Index):
        wanted = _both(wanted, _staged(shelf))
    book = _with_clients(open_book(shelf))
    today = _today(call.on, book.bench.settings)
    bench = book.bench._replace(today=today, beside=beside(root, shelf))
    return lint(book._replace(bench=bench), wanted)


def _with_clients(book: OpenBook) -> OpenBook:
    """Add private/clients.toml to what is checked: it lies in the working tree alone."""
    clients = clients_file(book.shelf) if isinstance(book.shelf, Tree) else None
    return book._replace(own=(*book.own, clients)) if clients else book


def _history(root: Path, call: LintCall) -> Report:
    # Only an audit of history has to load what reads the log.
    from jobkit.lint.history import lint_since

    if call.staged:
        raise MisuseError("--staged and --since exclude each other", "leave one of them out")
    if call.on:
        raise MisuseError(
            "--on and --since exclude each other", "leave out --on: each commit is held to its own day"
        )
    return lint_since(root, call.since or "", call.rev or "HEAD", day_at, _named(root, call.paths))


def _today(on: str | None, settings: Settings) -> date:
    """Tell the day at the bench; where its zone is none, which a rule says, the day of this machine."""
    try:
        return day(on, settings)
    except MisuseError:
        if on is not None:
            raise
        return date.today()


def _staged(shelf: Index) -> Wanted:
    """Pick what the next commit changes; all where it changes what every job is held to, or takes a file away."""
    changed = git.staged_names(shelf.repo, gone=True)
    known = frozenset(shelf.below())
    if any(name not in known or kind_of(name) in _FOR_ALL for name in changed):
        return _any
    return frozenset(changed).__contains__


_FOR_ALL = frozenset(("bench", "meters", "stock", "board"))


def _any(_path: str) -> bool:
    return True


def _both(first: Wanted, second: Wanted) -> Wanted:
    return lambda path: first(path) and second(path)


def _named(root: Path, paths: tuple[str, ...]) -> Wanted:
    """Pick the files named on the command line, or below a folder named there; all where none is named."""
    inside = [_in_book(root, path) for path in paths]
    if not inside or "." in inside:
        return _any
    return lambda path: any(path == one or path.startswith(f"{one}/") for one in inside)


def _in_book(root: Path, path: str) -> str:
    place = Path(path).resolve()
    if not place.exists():
        raise MisuseError(f"there is no {path}", "check the name")
    if not place.is_relative_to(root):
        raise MisuseError(
            f"{path} lies outside the book {root}", "name a file of the book, or another --book"
        )
    return place.relative_to(root).as_posix()


def _prefix(root: Path, form: str) -> str:
    """Name the book's folder in its repository, for formats whose readers see the repository; else ""."""
    if form not in {"sarif", "github"}:
        return ""
    try:
        return git.open_repo(root).prefix
    except git.GitError:
        return ""  # no repository, so no other folder to begin from
