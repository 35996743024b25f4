"""The jobs as they were before: in the last commit, for the working tree and the index; for a commit, in its parent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from jobkit.book import git
from jobkit.book.git_tree import GitTree
from jobkit.book.history import is_same_job
from jobkit.book.load import load_job
from jobkit.book.shelf import Index, Revision, Shelf, kind_of
from jobkit.jobs.history import State
from jobkit.jobs.job import Job


def jobs_before(root: Path, shelf: Shelf) -> Mapping[str, Job]:
    """Give the earlier state of each job that may have changed, by the path it has now; a renamed one is among them.

    Without an earlier commit there is none. Only what may differ is read. Raises GitError.
    """
    repo = shelf.repo if isinstance(shelf, (Index, Revision)) else git.open_repo(root)
    try:
        earlier = git.resolve(repo, f"{shelf.commit}^" if isinstance(shelf, Revision) else "HEAD")
    except git.UnknownRevisionError:
        return {}
    names = _maybe_changed(repo, shelf, earlier)
    paths = sorted(path for path in names if kind_of(path) == "job")
    return dict(_paired(list(_states(repo, earlier, paths)), paths, shelf))


def _maybe_changed(repo: git.Repo, shelf: Shelf, earlier: str) -> set[str]:
    if isinstance(shelf, Revision):
        was, now = (
            {entry.path: entry.blob for entry in git.tree_entries(repo, commit)}
            for commit in (earlier, shelf.commit)
        )
        return {path for path in {**was, **now} if was.get(path) != now.get(path)}
    staged = git.staged_names(repo, gone=True)
    if isinstance(shelf, Index):
        return {*staged}
    changed = shelf.changed() if isinstance(shelf, GitTree) else git.changed_names(repo)
    return {*staged, *changed}


def _states(repo: git.Repo, commit: str, paths: Sequence[str]) -> Iterator[State]:
    """Load those of the files that are in a commit."""
    entries = [entry for entry in git.entries_at(repo, commit, paths) if entry.mode.startswith("100")]
    contents = git.read_blobs(repo, (entry.blob for entry in entries))
    for entry, content in zip(entries, contents, strict=True):
        yield State(entry.path, entry.blob, None if content is None else load_job(entry.path, content).job)


def _paired(was: Sequence[State], paths: Sequence[str], shelf: Shelf) -> Iterator[tuple[str, Job]]:
    """Pair each path with the job as it was, under another name if it has come and that is gone."""
    before = {state.path: state for state in was}
    there = {*shelf.paths()} if before else set()
    gone = [state for state in was if state.path not in there]
    for path in paths:
        state = before.get(path) or (_gone(path, gone, shelf) if path in there and gone else None)
        if state and state.job and path in there:
            yield path, state.job


def _gone(path: str, gone: Sequence[State], shelf: Shelf) -> State | None:
    content = next(iter(shelf.read_many([path])))[1]
    if not isinstance(content, bytes):
        return None
    now = State(path, git.blob_id(content), load_job(path, content).job)
    return next((state for state in gone if is_same_job(state, now)), None)
