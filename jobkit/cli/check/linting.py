"""Lint as called from the command line, from the hook, or from a framework; needs no command-line library."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book import git
from jobkit.book.shelf.find import find_book
from jobkit.cli.call.output import deliver
from jobkit.cli.call.shelves import shelf_of
from jobkit.cli.call.streams import colourful
from jobkit.cli.check.lint_call import LintCall
from jobkit.lint.run.report import Report
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.shelf.opening import Shelf


def run(call: LintCall, shelf: Shelf | None = None) -> int:
    """Lint as asked, print what was found, and return 1 where a finding stops it, else 0.

    `shelf` is that of the one book, where it is open already.
    """
    roots, colour = _roots(call), colourful(call.color)
    if call.format != "text":
        call = call._replace(format=_known_format(call.format))
    if len(roots) == 1 and not call.since:
        # Git is asked first, so that it is at work while all else is loaded.
        shelf = shelf or _shelf(roots[0], call)
    from jobkit.pages.findings.report import FORMATS, Look

    report = _several(roots, call) if len(roots) > 1 else _of_one(roots[0], call, shelf)
    prefix = _prefix(roots[0], call.format) if len(roots) == 1 else ""
    look = Look(call.output is None and colour, prefix)
    deliver(FORMATS[call.format](report, look), call.output, call.format)
    return int(stops(report, strict=call.strict))


def _known_format(name: str) -> str:
    from jobkit.cli.call.choices import format_named
    from jobkit.pages.findings.report import FORMATS

    return format_named(name, FORMATS)


def stops(report: Report, *, strict: bool) -> bool:
    """Tell whether a report stops it of a commit."""
    return bool(report.count("error") or (strict and report.count("warning")))


def _shelf(root: Path, call: LintCall) -> Shelf:
    if call.stdin is None:
        return shelf_of(root, staged=call.staged, rev=call.rev)
    from jobkit.cli.check.unsaved import unsaved_shelf  # only an editor asks for it

    return unsaved_shelf(root, call.stdin)


def _roots(call: LintCall) -> list[Path]:
    if call.stdin is not None:
        from jobkit.cli.check.unsaved import unsaved_root

        return [unsaved_root(call)]
    if call.books:
        return list(dict.fromkeys(find_book(book) for book in call.books))
    if call.paths:
        from jobkit.cli.call.named_files import book_around  # the hook, and a lint of all, names no files

        return [book_around(call.paths)]
    return [find_book(Path.cwd())]


def _several(roots: list[Path], call: LintCall) -> Report:
    """Check several books; files and jobs are told apart by the name of the book, as in every roll-up."""
    if call.paths or call.since:
        raise MisuseError("with several books, `lint` checks each of them whole", "name one --book")
    from jobkit.cli.call.rollup import names_of

    files, findings = 0, []
    for name, root in zip(names_of(roots), roots, strict=True):
        report = _one_state(root, call, shelf_of(root, staged=call.staged, rev=call.rev))
        files += report.files
        for one in report.findings:
            job = f"{name}/{one.job}" if one.job else ""
            findings.append(one._replace(file=f"{name}/{one.file}", job=job))
    return Report(files, tuple(findings))


def _of_one(root: Path, call: LintCall, shelf: Shelf | None) -> Report:
    return _one_state(root, call, shelf) if shelf else _history(root, call)


def _one_state(root: Path, call: LintCall, shelf: Shelf) -> Report:
    # Git is at work while all that reads and judges is loaded.
    from jobkit.cli.check.checking import check

    return check(root, shelf, call)


def _history(root: Path, call: LintCall) -> Report:
    # Only an audit of history has to load what reads the log.
    from jobkit.book.shelf.opening import Tree
    from jobkit.cli.call.clock import day_at
    from jobkit.cli.call.named_files import named
    from jobkit.lint.run.history import lint_since

    if call.staged:
        raise MisuseError("--staged and --since exclude each other", "leave one of them out")
    if call.on:
        raise MisuseError(
            "--on and --since exclude each other", "leave out --on: each commit is checked on its own day"
        )
    return lint_since(root, call.since or "", call.rev or "HEAD", day_at, named(Tree(root), root, call.paths))


def _prefix(root: Path, form: str) -> str:
    """Name the book's folder in its repository, for formats whose readers see the repository; else ""."""
    if form not in {"sarif", "github"}:
        return ""
    try:
        return git.open_repo(root).prefix
    except git.GitError:
        return ""  # no repository, so no other folder to begin from
