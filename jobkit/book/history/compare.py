"""Two states of a book side by side: the jobs that differ as they were and as they are, and the bench's own files."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from pathlib import PurePosixPath

from jobkit.book import git
from jobkit.book.read.load import document, load_job
from jobkit.book.shelf.errors import LostError
from jobkit.book.shelf.opening import Index, Revision, Shelf, ShelfError, Tree, kind_of
from jobkit.jobs.history import FileChange, JobState, OwnFileChange
from jobkit.jobs.same_job import is_same_job
from jobkit.named_tuple import NamedTuple

_OWN = ("bench", "meters", "stock", "board")


class Comparison(NamedTuple):
    """What differs between two states of a book, in the order of the paths."""

    jobs: tuple[FileChange, ...]
    own: tuple[OwnFileChange, ...]


def compare(root: str | os.PathLike[str], before: Revision | Index, after: Shelf) -> Comparison:
    """Put two states of the book in the folder `root` side by side; raises GitError, ShelfError.

    Where a board file differs, the jobs of its design that did not change are there too: their verdicts may have.
    """
    maybe = _differing(root, before, after)
    was, now = _contents(before, maybe), _contents(after, maybe)
    changed = sorted(path for path in maybe if was.get(path) != now.get(path))
    attached = _attached(changed, was, now)
    boards = [path for path in changed if kind_of(path) == "board"]
    beside = {f"{folder}.toml" for folder in attached} | _mentioning(boards, before, after)
    same = [_same(path, content) for path, content in _contents(after, beside - {*changed}).items()]
    jobs = [
        file_change._replace(attached=_of(file_change, attached))
        for file_change in (*_job_changes(changed, was, now), *same)
    ]
    own = (path for path in changed if kind_of(path) in _OWN)
    return Comparison(
        tuple(sorted(jobs, key=path_of)),
        tuple(_own_change(path, was.get(path), now.get(path)) for path in own),
    )


def path_of(file_change: FileChange) -> str:
    """Tell where the job is now, or lay last."""
    state = file_change.after or file_change.before
    return state.path if state else ""


def _differing(root: str | os.PathLike[str], before: Revision | Index, after: Shelf) -> set[str]:
    """Name the files that may differ; of the working tree, without reading what git knows to be unchanged."""
    if not isinstance(after, Tree):
        return _by_blob(before, after)
    index = Index(root)
    names = {*git.changed_names(index.repo), *git.new_names(index.repo)}
    return _by_blob(before, index) | {path for path in names if kind_of(path) not in {"other", "clients"}}


def _by_blob(before: Shelf, after: Shelf) -> set[str]:
    paths = {*before.paths(), *after.paths()}
    return {
        path for path in paths if kind_of(path) != "clients" and _blob(before, path) != _blob(after, path)
    }


def _blob(shelf: Shelf, path: str) -> str:
    try:
        return shelf.blob(path)
    except ShelfError:
        return ""


def _contents(shelf: Shelf, paths: set[str]) -> dict[str, bytes]:
    """Read those files that are there; one that cannot be read is as good as empty. Raises LostError."""
    return dict(_each_content(shelf, paths))


def _each_content(shelf: Shelf, paths: set[str]) -> Iterator[tuple[str, bytes]]:
    for path, content in shelf.read_many(sorted(paths & {*shelf.paths()})):
        if isinstance(content, LostError):
            raise content  # what is not known to have been there would be shown as new
        yield path, b"" if isinstance(content, ShelfError) else content


def _job_changes(
    changed: Iterable[str], was: Mapping[str, bytes], now: Mapping[str, bytes]
) -> Iterator[FileChange]:
    """Pair the states of each job, a renamed one too."""
    jobs = [path for path in changed if kind_of(path) == "job"]
    gone = [_state(path, was[path]) for path in jobs if path not in now]
    for path in jobs:
        if path not in now:
            continue
        after = _state(path, now[path])
        before = _state(path, was[path]) if path in was else _earlier(after, gone)
        yield FileChange(before, after)
    yield from (FileChange(state, None) for state in gone)


def _earlier(after: JobState, gone: list[JobState]) -> JobState | None:
    """Take out of the states that are gone the one that was the same job."""
    found = next((state for state in gone if is_same_job(state, after)), None)
    if found:
        gone.remove(found)
    return found


def _same(path: str, content: bytes) -> FileChange:
    state = _state(path, content)
    return FileChange(state, state)


def _state(path: str, content: bytes) -> JobState:
    return JobState(path, git.blob_id(content), load_job(path, content).job)


_Attached = dict[str, list[tuple[str, str]]]


def _attached(changed: Iterable[str], was: Mapping[str, bytes], now: Mapping[str, bytes]) -> _Attached:
    """Tell by folder of a job which of the files in it came, changed or went."""
    found: _Attached = {}
    for path in changed:
        if kind_of(path) == "attachment":
            folder = "/".join(path.split("/")[:3])
            became = "added" if path not in was else "removed" if path not in now else "changed"
            found.setdefault(folder, []).append((path.removeprefix(f"{folder}/"), became))
    return found


def _of(file_change: FileChange, attached: _Attached) -> tuple[tuple[str, str], ...]:
    folders = dict.fromkeys(
        state.path.removesuffix(".toml") for state in (file_change.before, file_change.after) if state
    )
    return tuple(file for folder in folders for file in attached.get(folder, ()))


def _mentioning(boards: Iterable[str], before: Shelf, after: Shelf) -> set[str]:
    """Find the jobs whose text names the design of one of these board files."""
    names = [PurePosixPath(path).stem.encode() for path in boards]
    jobs = [path for path in {*before.paths()} & {*after.paths()} if names and kind_of(path) == "job"]
    texts = after.read_many(jobs)
    return {path for path, text in texts if isinstance(text, bytes) and any(name in text for name in names)}


def _own_change(path: str, was: bytes | None, now: bytes | None) -> OwnFileChange:
    before, after = (None if content is None else document(content)[0] for content in (was, now))
    return OwnFileChange(path, before, after, came=was is None, went=now is None)
