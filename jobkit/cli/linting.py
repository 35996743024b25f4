"""Lint as called from the command line, from the hook, or from a framework; needs no command-line library."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from jobkit.book.find import find_book
from jobkit.book.load import open_book
from jobkit.cli.output import deliver
from jobkit.cli.shelves import shelf_of
from jobkit.cli.streams import colourful
from jobkit.lint.run import Report, lint
from jobkit.pages.findings import FORMATS
from jobkit.units.errors import MisuseError


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


def run(call: LintCall) -> int:
    """Lint as asked, print what was found, and return 1 where a finding stands in the way, else 0."""
    if call.format not in FORMATS:
        raise MisuseError(
            f'there is no format "{call.format}" of lint', f"choose one of {', '.join(FORMATS)}"
        )
    start = Path(call.paths[0]) if call.paths and not call.books else Path.cwd()
    root = find_book(call.books[0] if call.books else start)
    report = lint(open_book(shelf_of(root, staged=call.staged, rev=call.rev)), _wanted(root, call.paths))
    deliver(FORMATS[call.format](report, colourful(call.color)), call.output)
    return int(stops(report, strict=call.strict))


def stops(report: Report, *, strict: bool) -> bool:
    """Tell whether a report stands in the way of a commit."""
    return bool(report.count("error") or (strict and report.count("warning")))


def _wanted(root: Path, paths: tuple[str, ...]) -> Callable[[str], bool]:
    """Pick the files named on the command line, or below a folder named there; all where none is named."""
    inside = [_in_book(root, path) for path in paths]
    if not inside or "." in inside:
        return lambda _path: True
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
