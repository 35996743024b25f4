"""The same question asked again of the same book on the same day: the answer is kept whole.

What the answer depends on is told without reading a job or loading a rule: the code, the day, the bench's own files by
content, and what git says of all the others. Where only a few jobs have another content than then, just these are
checked again.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from hashlib import sha1
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from jobkit.book import git
from jobkit.book.history.changed_jobs import Moved, has_surely_moved, moved_since
from jobkit.book.history.tree_snapshot import Stood, is_as_then, standing
from jobkit.book.shelf.opening import ShelfError
from jobkit.book.shelf.tree import GitTree
from jobkit.cli.call.clock import today_in
from jobkit.jobs.finding import Finding, in_order
from jobkit.lint.run.report import Report

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook
    from jobkit.cli.check.linting import LintCall

_NAME = "answer"
_KINDS = ("job", "board", "bench", "meters", "stock", "clients")


class Answer(NamedTuple):
    """An answer that is kept, with all that it depends on.

    `own` digests the day, the bench's own files and the schemas; `zone` is the time zone that the day is of. `stood` is
    how the working tree stood (`Stood`). `across` are the jobs of which some rule across jobs spoke.
    """

    own: bytes
    zone: str
    stood: Stood
    across: tuple[str, ...]
    files: int
    findings: tuple[tuple[Any, ...], ...]

    def report(self) -> Report:
        """Give the answer itself."""
        return Report(self.files, tuple(map(Finding._make, self.findings)))


def report_of(root: Path, shelf: GitTree, call: LintCall) -> Report:
    """Check a whole working tree, or give the answer that is kept, or one made from it."""
    shelf.asking.ask_head()
    known, answer = _load(shelf, call), None
    # Where git fails the files can be checked all the same, and that says what there is to say of it.
    with suppress(git.GitError):
        answer = _from(known, shelf, call) if known else None
    return answer.report() if answer else _anew(root, shelf, call)


def _load(shelf: GitTree, call: LintCall) -> Answer | None:
    """Load the answer that is kept, if it was given on the same day and with the same files of the bench."""
    kept = shelf.keep.load(_NAME) if shelf.keep else None
    known = Answer._make(kept) if kept else None
    known = known and known._replace(stood=Stood._make(known.stood))
    is_same = known and _digest(_own(shelf), _today(call.on, known.zone)) == known.own
    return known if is_same else None


def _from(known: Answer, shelf: GitTree, call: LintCall) -> Answer | None:
    """Give the answer that is kept, or one made from it; None where all has to be gone through."""
    book = None
    if has_surely_moved(shelf, known.stood):
        # Git is still at work: time to load what will be needed.
        from jobkit.cli.check.checking_again import open_few

        book = open_few(shelf)
    what = moved_since(shelf, known.stood)
    return None if what is None else _again(shelf, book, call, known, what)


def _store(shelf: GitTree, answer: Answer) -> Answer:
    if shelf.keep:
        shelf.keep.store(_NAME, tuple(answer._replace(stood=tuple(answer.stood))))  # type: ignore[arg-type] # plain data
    return answer


def _anew(root: Path, shelf: GitTree, call: LintCall) -> Report:
    """Go through all, and keep the answer where the question can be told from others."""
    from jobkit.cli.check.checking import check

    own, now = _own(shelf), None
    with suppress(git.GitError):
        now = standing(shelf)
    report, zone = check(root, shelf, call)
    today = _today(call.on, zone)
    # What was changed meanwhile may have been seen or not.
    if today and now and report.is_steady and own == _own(shelf) and shelf.is_still(now.loose):
        found = tuple(map(tuple, report.findings))
        across = tuple(sorted(report.across))
        _store(shelf, Answer(_digest(own, today), zone, now, across, report.files, found))
    return report


def _again(
    shelf: GitTree, book: OpenBook | None, call: LintCall, known: Answer, what: Mapping[str, Moved]
) -> Answer | None:
    """Check the jobs that are not what they were; None where all has to be gone through."""
    if not what:
        return known if is_as_then(shelf, known.stood) else _taken_over(shelf, known)
    if not what.keys().isdisjoint(known.across):
        return None
    from jobkit.cli.check.checking_again import check_again, open_few

    found = check_again(shelf, book or open_few(shelf), call, what)
    # What was changed meanwhile may have been seen or not.
    if found is None or _digest(_own(shelf), _today(call.on, known.zone)) != known.own:
        return None
    others = (Finding._make(one) for one in known.findings)
    findings = in_order((*(one for one in others if one.file not in what), *found))
    return _taken_over(shelf, known._replace(findings=tuple(map(tuple, findings))))


def _taken_over(shelf: GitTree, answer: Answer) -> Answer:
    """Keep an answer under how the working tree stands now."""
    now = standing(shelf, answer.stood)
    return _store(shelf, answer._replace(stood=now)) if now else answer


def _own(shelf: GitTree) -> list[tuple[str, str]]:
    """List the bench's own files and its schemas with their contents, or with why they cannot be read."""
    schemas = (f"schema/{kind}.schema.json" for kind in _KINDS)
    return [(path, _content(shelf, path)) for path in (*shelf.own_paths(), *schemas)]


def _content(shelf: GitTree, path: str) -> str:
    try:
        return git.blob_id(shelf.read(path))
    except ShelfError as error:
        return str(error)


def _today(on: str | None, zone: str) -> str:
    """Tell the day that is asked about, in a time zone; "" where there is none."""
    if on is None:
        return today_in(zone)
    with suppress(ValueError):
        return date.fromisoformat(on).isoformat()
    return ""


def _digest(*told: object) -> bytes:
    return sha1(repr(told).encode("utf-8", "surrogateescape"), usedforsecurity=False).digest()
