"""Jobs and terms as they were: in the last commit, for the working tree and the index; for a commit, in its parent."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any

from jobkit.book import git
from jobkit.book.read.bench import read_settings, read_stock
from jobkit.book.read.load import document, load_job
from jobkit.book.schema.gate import Doc
from jobkit.book.schema.trouble import Trouble
from jobkit.book.shelf.opening import Index, Revision, Shelf, kind_of
from jobkit.book.shelf.overlay import Overlay
from jobkit.book.shelf.tree import GitTree
from jobkit.jobs.bench import TermsBefore
from jobkit.jobs.history import JobState
from jobkit.jobs.job import Job
from jobkit.jobs.same_job import is_same_job
from jobkit.named_tuple import NamedTuple

Contents = Callable[[Iterable[str]], Iterable[bytes | git.Unread]]
"""Gives the contents of blobs in turn, None for one that the repository lacks."""


class Earlier(NamedTuple):
    """The jobs as they were: `now` by the path that each has now, `gone` those that are there no more, by their own.

    `terms` are the bench's terms as they were, None where their files are unchanged.
    """

    now: Mapping[str, Job] = {}
    gone: Mapping[str, Job] = {}
    terms: TermsBefore | None = None


def state_before(root: Path, shelf: Shelf, untracked: Iterable[str] = ()) -> Earlier:
    """Give the earlier state of the terms, and the one that binds each job that may have changed or gone.

    A renamed job is told by what it says. The state is that in the last commit (of a commit, in its parent); where the
    job is not sent there, but was in a commit before that, the last state that was. `untracked` are the files that are
    there and that git does not know: one of them may be a job under a new name. Without an earlier commit there is
    none. Only what may differ is read. Raises GitError.
    """
    repo = shelf.repo or git.open_repo(root)
    changed = list(_changed_files(repo, shelf))
    contents = partial(git.read_blobs, repo)
    terms = _terms([file for file in changed if file.path in _TERMS and file.was], contents)
    files = [file for file in changed if kind_of(file.path) == "job"]
    if not files:
        return Earlier(terms=terms)
    paths = [*sorted(file.path for file in files), *sorted(untracked)]
    states = list(_states(files, contents))
    found = _paired(_as_sent(states, repo, _commit_before(shelf), shelf), paths, shelf)
    return found._replace(terms=terms)


_TERMS: Mapping[str, Callable[[Doc], tuple[Any, tuple[Trouble, ...]]]] = {
    "bench.toml": read_settings,
    "stock.toml": read_stock,
}
"""The files that hold terms, and how each is read."""


def _terms(files: Sequence[git.ChangedFile], contents: Contents) -> TermsBefore | None:
    """Read the terms as they were; a file that had errors is left out, for nothing can be compared with it."""
    if not files:
        return None
    read = {}
    for file, content in zip(files, contents(file.was for file in files), strict=True):
        doc, troubles = document(content) if isinstance(content, bytes) else (None, ())
        if doc is not None and not troubles:
            record, troubles = _TERMS[file.path](doc)
            read[file.path] = None if troubles else record
    return TermsBefore(read.get("bench.toml"), read.get("stock.toml"))


def _commit_before(shelf: Shelf) -> str:
    return f"{shelf.commit}^" if isinstance(shelf, Revision) else "HEAD"


def sealed_state(repo: git.Repo, job: Job) -> Job | None:
    """Give the last state of a job that was sent or invoiced, of all commits so far: it binds what is written now.

    None where no commit has the job so. Raises GitError.
    """
    blobs = git.blobs_up_to(repo, "HEAD", [job.path], _first_day([job]))[job.path]
    state = _last_sent(job.path, blobs, partial(git.read_blobs, repo))
    return state.job if state else None


def _as_sent(states: Sequence[JobState], repo: git.Repo, commit: str, shelf: Shelf) -> Sequence[JobState]:
    """Put the last state that was sent in the place of those that are not sent, though they were before."""
    open_ = [state for state in states if state.job is None or state.job.dates.sent is None]
    now = dict(shelf.read_many([state.path for state in open_])) if open_ else {}
    asked = [state.path for state in open_ if _is_asked(state.job, now[state.path])]
    blobs = git.blobs_up_to(
        repo, commit, asked, _first_day([state.job for state in open_ if state.path in asked])
    )
    sent = {path: _last_sent(path, blobs[path], partial(git.read_blobs, repo)) for path in asked}
    return [sent.get(state.path) or state for state in states]


def _is_asked(was: Job | None, now: object) -> bool:
    """Tell whether a job that is not sent in the last commit may have been sent before, by little.

    Only then is it worth while to go through the history: where it is called finished or gone, there or now.
    """
    if was and (was.dates.collected or was.dates.finished or was.outcome or was.invoice):
        return True
    return isinstance(now, bytes) and any(
        word in now for word in (b"sent", b"collected", b"finished", b"outcome", b"invoice")
    )


def _first_day(jobs: Iterable[Job | None]) -> str:
    """Tell from which day on a commit may have one of these jobs as sent: a year before the first that came.

    The year is for clocks that were wrong. "" where no day is known.
    """
    days = [job and (job.dates.announced or job.dates.received) for job in jobs]
    known = [day for day in days if day and day.toordinal() > _SLACK.days]
    return (min(known) - _SLACK).isoformat() if known and len(known) == len(days) else ""


_SLACK = timedelta(days=366)


def _last_sent(path: str, blobs: Sequence[str], contents: Contents) -> JobState | None:
    """Find the latest of a job's contents in which it was sent; where there is none, the latest with an invoice."""
    invoiced = None
    for blob, content in zip(blobs, contents(blobs), strict=True):
        if isinstance(content, bytes) and any(word in content for word in _BINDING):
            job = load_job(path, content).job
            if job and job.dates.sent:
                return JobState(path, blob, job)
            if job and job.invoice and not invoiced:
                invoiced = JobState(path, blob, job)
    return invoiced


_BINDING = (b"sent", b"invoice")


def _changed_files(repo: git.Repo, shelf: Shelf) -> Iterable[git.ChangedFile]:
    if isinstance(shelf, Revision):
        try:
            return git.files_between(repo, git.resolve(repo, f"{shelf.commit}^"), shelf.commit)
        except git.UnknownRevisionError:
            return ()  # the first commit, or where a shallow clone begins
    if isinstance(shelf, Index):
        return [git.ChangedFile(change.path, change.was) for change in shelf.changes]
    tree = shelf.tree if isinstance(shelf, Overlay) else shelf
    query = tree.query if isinstance(tree, GitTree) else None
    staged = query.staged if query else git.staged_files(repo)
    changed = query.changes if query else None
    if changed is None:
        changed = git.worktree_files(repo)
    unsaved = _unsaved_files(repo, shelf) if isinstance(shelf, Overlay) else ()
    # What is staged too had its state in the last commit, not the one in the index.
    found = {file.path: file for file in (*unsaved, *changed, *staged)}
    same = _same(found, repo, shelf)
    return [file for path, file in found.items() if path not in same]


def _same(files: Mapping[str, git.ChangedFile], repo: git.Repo, shelf: Shelf) -> frozenset[str]:
    """Name the files whose content is what it was: in a copied book git takes each for changed, by its times."""
    read = shelf.read_many([path for path, file in files.items() if file.was])
    return frozenset(
        path
        for path, content in read
        if isinstance(content, bytes) and git.blob_id(content, repo.hashing) == files[path].was
    )


def _unsaved_files(repo: git.Repo, shelf: Overlay) -> Iterator[git.ChangedFile]:
    """Yield the tracked files that have unsaved text, as the index has them."""
    tree = shelf.tree
    if isinstance(tree, GitTree):
        blobs = {path: tree.listed_blob(path) for path in shelf.unsaved}
    else:
        plain = (one for one in git.index_entries(repo) if one.mode.startswith("100") and not one.stage)
        blobs = {one.path: one.blob for one in plain if one.path in shelf.unsaved}
    return (git.ChangedFile(path, blob) for path, blob in blobs.items() if blob)


def before_in_place(files: Iterable[git.ChangedFile], shelf: Index) -> dict[str, Job]:
    """Give the earlier state that binds job files which were changed where they are; none has gone or was renamed.

    Raises GitError.
    """
    jobs = [file for file in files if kind_of(file.path) == "job"]
    states = _as_sent(list(_states(jobs, shelf.contents)), shelf.repo, "HEAD", shelf)
    return {state.path: state.job for state in states if state.job}


def _states(files: Sequence[git.ChangedFile], contents: Contents) -> Iterator[JobState]:
    """Load the files as they were, where they were there."""
    there = [file for file in files if file.was]
    for file, content in zip(there, contents(file.was for file in there), strict=True):
        job = load_job(file.path, content).job if isinstance(content, bytes) else None
        yield JobState(file.path, file.was, job)


def _paired(was: Sequence[JobState], paths: Sequence[str], shelf: Shelf) -> Earlier:
    """Pair each path with the job as it was, under another name if it has come and that is gone."""
    before = {state.path: state for state in was}
    there = {*shelf.paths()} if before else set()
    gone = [state for state in was if state.path not in there]
    now, left = {}, {state.path: state.job for state in gone if state.job}
    for path in paths:
        if path in there and kind_of(path) == "job":
            state = before.get(path) or (_gone(path, gone, shelf) if gone else None)
            if state and state.job:
                now[path] = state.job
                left.pop(state.path, None)
    return Earlier(now, left)


def _gone(path: str, gone: Sequence[JobState], shelf: Shelf) -> JobState | None:
    content = next(iter(shelf.read_many([path])))[1]
    if not isinstance(content, bytes):
        return None
    now = JobState(path, git.blob_id(content), load_job(path, content).job)
    return next((state for state in gone if is_same_job(state, now)), None)
