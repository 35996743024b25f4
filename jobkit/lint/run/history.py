"""Audit a book's history: which findings each commit brought that its parents did not have."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path

from jobkit.book import git
from jobkit.book.cache.store import Cache
from jobkit.book.git.log import CommitStep, steps
from jobkit.book.history.before import state_before
from jobkit.book.read.load import OpenBook, open_book
from jobkit.book.shelf.opening import Revision, ShelfError, kind_of
from jobkit.jobs.bench import RepositoryState
from jobkit.jobs.finding import Finding
from jobkit.jobs.settings import Settings
from jobkit.lint.run.report import Commit, Report
from jobkit.lint.run.whole_book import lint

DayAt = Callable[[int, Settings], date]
"""Which day it was at the bench, so many seconds after the beginning of 1970."""

_Key = tuple[str, str, str, str]


def lint_since(
    root: Path, since: str, until: str, day_at: DayAt, wanted: Callable[[str], bool] = lambda _path: True
) -> Report:
    """Check every commit after `since` up to `until`, the oldest first, and report what each of them newly brought.

    A finding is new where no parent of the commit has one of the same rule, file, subject and words; lines may have
    moved. What is dated in the future, and levels, go by the day and the settings of each commit. A file counts once,
    in however many commits it was checked. Raises GitError.
    """
    repo = git.open_repo(root)
    first, last = git.resolve(repo, since), git.resolve(repo, until)
    past = _Past(root, day_at, wanted)
    commits: list[Commit] = []
    findings: list[Finding] = []
    for commit in _oldest_first(repo, first, last):
        commits.append(past.commit(commit))
        findings += past.brought_by(commit)
    return Report(len(past.files), tuple(findings), tuple(commits))


def _oldest_first(repo: git.Repo, first: str, last: str) -> list[CommitStep]:
    """List the commits that touched the book, each once; a merge comes once for each parent it differs from."""
    prefix = repo.prefix.encode("utf-8", "surrogateescape")
    found: dict[str, CommitStep] = {}
    for step in steps(repo, f"{first}..{last}"):
        if any(path.startswith(prefix) for path in step.paths):
            found.setdefault(step.commit, step)
    return list(found.values())[::-1]


_OWN = frozenset(("bench", "meters", "stock", "board"))


def _blob(shelf: Revision, path: str) -> str:
    """Give the id of a file's content, "" for what is not a plain file."""
    try:
        return shelf.blob(path)
    except ShelfError:
        return ""


class _Past:
    """The book at each commit; what was read or checked once is kept, as most files stay as they were.

    `files` are the paths of all that was checked.
    """

    def __init__(self, root: Path, day_at: DayAt, wanted: Callable[[str], bool]) -> None:
        self._root = root
        self._day_at = day_at
        self._wanted = wanted
        self._when: dict[str, int] = {}
        self._books: dict[tuple[tuple[str, str], ...], OpenBook] = {}
        self._found: dict[str, tuple[Finding, ...]] = {}
        self.files: set[str] = set()

    def commit(self, step: CommitStep) -> Commit:
        """Say which commit it is."""
        self._when[step.commit] = step.when
        book = self._open(step.commit)
        day = self._day_at(step.when, book.bench.settings)
        return Commit(step.commit, day.isoformat(), step.author, step.subject)

    def brought_by(self, step: CommitStep) -> list[Finding]:
        """Give the findings of a commit that none of its parents has."""
        known: Counter[_Key] = Counter()
        for parent in step.parents:
            self._when.setdefault(parent, step.when)
            known |= Counter(map(_key, self._findings(parent)))
        new = []
        for finding in self._findings(step.commit):
            if known[_key(finding)]:
                known[_key(finding)] -= 1
            else:
                new.append(finding._replace(commit=step.commit))
        return new

    def _findings(self, commit: str) -> tuple[Finding, ...]:
        if commit not in self._found:
            book = self._open(commit)
            self._found[commit] = lint(book, self._wanted).findings
            paths = (*(file.path for file in book.own), *book.job_paths)
            self.files.update(path for path in paths if self._wanted(path))
        return self._found[commit]

    def _open(self, commit: str) -> OpenBook:
        shelf = Revision(self._root, commit)
        paths = shelf.paths()
        own = tuple((path, _blob(shelf, path)) for path in paths if kind_of(path) in _OWN)
        if own not in self._books:
            self._books[own] = open_book(shelf, Cache())
        book = self._books[own]
        bench = book.bench._replace(
            paths=frozenset(paths),
            today=self._day_at(self._when[commit], book.bench.settings),
            repository=RepositoryState(frozenset(), shelf.private(), (), *state_before(self._root, shelf)),
        )
        jobs = tuple(path for path in paths if kind_of(path) == "job")
        return book._replace(shelf=shelf, bench=bench, job_paths=jobs)


def _key(finding: Finding) -> _Key:
    return finding.rule, finding.file, finding.about, finding.message
