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
from jobkit.book.git_tree import GitTree
from jobkit.book.shelf import ShelfError, kind_of
from jobkit.cli.clock import today_in
from jobkit.jobs.finding import Finding, in_order
from jobkit.lint.head import Moved
from jobkit.lint.report import Report

if TYPE_CHECKING:
    from jobkit.cli.linting import LintCall

_NAME = "answer"
_KINDS = ("job", "board", "bench", "meters", "stock", "clients")

_MANY = 20
"""So many jobs are not checked one by one."""


class Answer(NamedTuple):
    """An answer that is kept, with all that it depends on.

    `own` digests the day, the bench's own files and the schemas; `zone` is the time zone that the day is of. `around`
    digests what git says of all else, but for the contents of jobs that it does not vouch for: those are `loose`, blob
    ids by path. `committed` are the blobs that staged jobs had in the last commit, None where a job has gone since.
    `across` are the jobs of which some rule across jobs spoke.
    """

    own: bytes
    zone: str
    around: bytes
    loose: dict[str, str]
    committed: dict[str, str] | None
    across: tuple[str, ...]
    files: int
    findings: tuple[tuple[Any, ...], ...]

    def report(self) -> Report:
        """Give the answer itself."""
        return Report(self.files, tuple(map(Finding._make, self.findings)))


def report_of(root: Path, shelf: GitTree, call: LintCall) -> Report:
    """Check a whole working tree, or give the answer that is kept, or one made from it."""
    shelf.asking.ask_head()
    known = _load(shelf)
    if known and _digest(_own(shelf), _today(call.on, known.zone)) != known.own:
        known = None
    if not known or _differs(shelf, known.loose):
        # Git is still at work: time to load what will be needed.
        import jobkit.cli.checking  # noqa: F401
    around = _around(shelf)
    if known and around and around == known.around:
        moved = _moved(shelf, known)
        if moved == {}:
            return known.report()
        if moved:
            answer = _again(shelf, call, known, moved)
            if answer:
                return answer.report()
    return _anew(root, shelf, call, around)


def _load(shelf: GitTree) -> Answer | None:
    kept = shelf.keep.load(_NAME) if shelf.keep else None
    return Answer._make(kept) if kept else None


def _store(shelf: GitTree, answer: Answer) -> None:
    if shelf.keep:
        shelf.keep.store(_NAME, tuple(answer))


def _anew(root: Path, shelf: GitTree, call: LintCall, around: bytes) -> Report:
    """Go through all, and keep the answer where the question can be told from others."""
    from jobkit.cli.checking import check

    own = _own(shelf)
    report, zone = check(root, shelf, call)
    today = _today(call.on, zone)
    # What was changed meanwhile may have been seen or not.
    if around and today and shelf.lying and own == _own(shelf) and shelf.is_still(shelf.lying.loose):
        found = tuple(map(tuple, report.findings))
        kept = (_digest(own, today), zone, around, shelf.lying.loose, _committed(shelf))
        _store(shelf, Answer(*kept, tuple(sorted(report.across)), report.files, found))
    return report


def _again(shelf: GitTree, call: LintCall, known: Answer, moved: Mapping[str, Moved]) -> Answer | None:
    """Check the jobs that have another content than then; None where all has to be gone through."""
    from jobkit.cli.checking import check_again

    found = check_again(shelf, call, moved)
    # What was changed meanwhile may have been seen or not.
    if found is None or shelf.lying is None or _digest(_own(shelf), _today(call.on, known.zone)) != known.own:
        return None
    others = (Finding._make(one) for one in known.findings)
    findings = in_order((*(one for one in others if one.file not in moved), *found))
    answer = known._replace(loose=shelf.lying.loose, findings=tuple(map(tuple, findings)))
    _store(shelf, answer)
    return answer


def _differs(shelf: GitTree, then: Mapping[str, str]) -> bool:
    """Tell whether some job certainly has another content than then, as soon as that can be told.

    Who has a job on the bench looks at it again and again: those seen changed are looked at without git's help. Then
    git is asked which tracked files have changed; it takes longer to tell which are new.
    """
    if len(then) <= _MANY and not shelf.is_still(then):
        return True
    now = shelf.loose
    tracked = [path for path in {*then, *now} if path in now or shelf.listed_blob(path)]
    return any(_blob(shelf, path, then) != _blob(shelf, path, now) for path in tracked)


def _moved(shelf: GitTree, known: Answer) -> dict[str, Moved] | None:
    """Tell which jobs have another content; None where the others may be in for it, or it is too many."""
    assert shelf.lying is not None
    then, now = known.loose, shelf.lying.loose
    index = {swap.path: swap.was for swap in shelf.asking.changes or ()}
    moved = {}
    for path in sorted({*then, *now}):
        was, blob = _blob(shelf, path, then), _blob(shelf, path, now)
        if not was or not blob:
            return None
        if was != blob:
            committed = {**index, **(known.committed or {})}.get(path, "")
            moved[path] = Moved(path, was, blob, committed)
    if not moved:
        return moved
    settled = known.committed is not None and len(moved) <= _MANY and moved.keys().isdisjoint(known.across)
    return moved if settled else None


def _blob(shelf: GitTree, path: str, loose: Mapping[str, str]) -> str:
    return loose[path] if path in loose else shelf.listed_blob(path)


def _committed(shelf: GitTree) -> dict[str, str] | None:
    """Tell which blobs staged jobs had in the last commit; None where a job has gone, for others may be it."""
    swaps = (*(shelf.asking.changes or ()), *shelf.asking.staged)
    jobs = [swap for swap in swaps if kind_of(swap.path) == "job"]
    if any(swap.was and not shelf.holds(swap.path) for swap in jobs):
        return None
    return {swap.path: swap.was for swap in shelf.asking.staged if kind_of(swap.path) == "job"}


def _around(shelf: GitTree) -> bytes:
    """Digest what git says of the book; b"" where that does not tell all."""
    lying, head = shelf.lying, shelf.asking.head
    return _digest(lying._replace(loose={}), head, shelf.private()) if lying else b""


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
