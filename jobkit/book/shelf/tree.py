"""The working tree of a book in git: git tells what is there and which content it has, so little has to be read."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from functools import cached_property
from hashlib import sha1

from jobkit.book import git
from jobkit.book.git import index_search
from jobkit.book.shelf.file_kinds import MOST_FOLDERS, kind_of
from jobkit.book.shelf.opening import Tree
from jobkit.book.shelf.private import private_taken
from jobkit.named_tuple import NamedTuple


class _Jobs(NamedTuple):
    """The job files that are in the book: those git can vouch for, with their blobs, and those it cannot."""

    sure: dict[str, str]
    unsure: frozenset[str]


class _Listed(NamedTuple):
    """The job files and the attachments in the index, with the blobs of plain files, "" for all else.

    An attachment that is not merged has none either.
    """

    jobs: dict[str, str]
    attachments: dict[str, str]


class TreeState(NamedTuple):
    """Which job files the working tree has, and with which contents, told by little.

    `listing` digests the index; `dirty` has the blobs of job files that git does not vouch for, "" where one is gone.
    """

    listing: str
    dirty: dict[str, str]


class GitTree(Tree):
    """The working tree as `Tree` gives it, answer for answer; whatever git cannot vouch for is looked at."""

    def __init__(self, root: str | os.PathLike[str], query: git.WorktreeQuery) -> None:
        """Open the folder that holds bench.toml, about whose repository git has been asked."""
        super().__init__(root, query.repo.hashing)
        self.query = query

    @property
    def repo(self) -> git.Repo:
        """The repository that the book is in."""
        return self.query.repo

    @cached_property
    def _index(self) -> _Listed:
        """What git has in the index below jobs/; nothing where git says too little."""
        status = self.query.status
        return _listed(status.listing if status else b"", self.repo.prefix)

    @cached_property
    def _jobs(self) -> _Jobs | None:
        """Put together what git says; None where only a look at the folder itself will do."""
        self._check_folder("jobs")
        status = self.query.status
        if status is None:
            return None
        sure = {path: blob for path, blob in self._index.jobs.items() if path not in status.changed}
        return _Jobs(sure, frozenset(path for path in self._unsure(status) if kind_of(path) == "job"))

    def _unsure(self, status: git.WorktreeStatus) -> Iterator[str]:
        yield from self._still_there(status.changed)
        yield from self._new

    def _still_there(self, changed: Iterable[str]) -> Iterator[str]:
        return (path for path in changed if kind_of(path) in {"job", "attachment"} and self.holds(path))

    def _untracked(self, others: Iterable[str]) -> Iterator[str]:
        """Yield what the book has of the files that are not in the index; folders are looked into."""
        for name in others:
            path = name.rstrip("/")
            depth = path.count("/")
            if "/." in path or (path != name and os.path.islink(f"{self._root}/{path}")):  # noqa: PTH114
                continue
            if path == name:
                if 1 < depth <= MOST_FOLDERS:
                    yield path
            elif depth == 0:
                for year, is_folder in self._scan(path):
                    if is_folder:
                        yield from self._year(year)
            elif depth == 1:
                yield from self._year(path)
            else:
                if depth == 2 and path.endswith(".toml"):
                    yield path
                yield from self._attachments(path)

    @cached_property
    def _attached(self) -> dict[str, str]:
        """The attachments that git can vouch for, with their blobs."""
        changed = self.query.status.changed if self.query.status else frozenset()
        return {path: blob for path, blob in self._index.attachments.items() if path not in changed}

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; folders and links that are named like one are among them."""
        status, jobs = self.query.status, self._jobs
        if status is None or jobs is None:
            return super().paths()
        return tuple(sorted({*self.own_paths(), *jobs.sure, *self._attached, *self._unsure(status)}))

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted."""
        jobs = self._jobs
        return super().job_paths() if jobs is None else tuple(sorted((*jobs.sure, *jobs.unsure)))

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of contents, of clean files as git knows them; what cannot be read has none."""
        jobs = self._jobs
        if jobs is None or not self.query.trusted:
            return super().blobs(paths)
        known, unknown = {}, []
        for path in paths:
            blob = jobs.sure.get(path) or (path.count("/") > 2 and self._attached.get(path))
            if blob:
                known[path] = blob
            else:
                unknown.append(path)
        return known | super().blobs(unknown)

    @cached_property
    def state(self) -> TreeState | None:
        """The state of the job files; None where git cannot vouch for any, or one of them cannot be read."""
        status = self.query.status
        if status is None or not status.trusted:
            return None
        unsure = [path for path in self._unsure(status) if kind_of(path) == "job"]
        blobs = super().blobs(unsure)
        gone = (path for path in status.changed if kind_of(path) == "job" and path not in blobs)
        listing = sha1(status.listing, usedforsecurity=False).hexdigest()
        return TreeState(listing, dict.fromkeys(gone, "") | blobs) if len(blobs) == len(unsure) else None

    def listed_blob(self, path: str) -> str:
        """Return the blob of a plain file in the index; "" where there is none."""
        found = index_search.find(self.query.listing or b"", self.repo.prefix + path)
        return found.blob if found and found.mode.startswith("100") and not found.stage else ""

    def untracked(self) -> frozenset[str]:
        """Return the files below jobs/ that are not in the index, ignored ones too; raises GitError."""
        status = self.query.status
        if status is None or any(name.endswith("/") for name in status.others):
            return frozenset(git.untracked_names(self.repo, "jobs"))
        return frozenset(status.others)

    def private(self) -> tuple[str, ...]:
        """Return the files with names and addresses that are in the index or that `git add` would take.

        Raises GitError.
        """
        return private_taken(self.repo, self._root)

    def new_attachments(self) -> tuple[str, ...]:
        """Return the attachments that have changed or come since they were staged, sorted."""
        status = self.query.status
        found = (*status.changed, *self._new) if status else ()
        return tuple(sorted(path for path in found if kind_of(path) == "attachment"))

    def is_listed(self, path: str) -> bool:
        """Tell whether there is any such file in the index."""
        return index_search.find(self.query.listing or b"", self.repo.prefix + path) is not None

    @cached_property
    def _new(self) -> frozenset[str]:
        status = self.query.status
        return frozenset(self._untracked(status.others)) if status else frozenset()


def _listed(listing: bytes, prefix: str) -> _Listed:
    """Read job files and attachments out of a listing of the index as `WorktreeStatus` has it."""
    jobs, attachments = {}, {}
    jobs_folder = f"{prefix}jobs/"
    for entry in os.fsdecode(listing).split("\0"):
        # Tag, mode, blob and stage stand before the path. Going through lines, and no regular expression through the
        # whole, takes a third of the time.
        about, _, path = entry.partition("\t")
        if not path.startswith(jobs_folder):
            continue
        path = path.removeprefix(prefix)
        depth = path.count("/")
        if "/." in path or depth > MOST_FOLDERS:
            continue
        _, mode, blob, stage = about.split(" ")
        # A link is listed too, but has no content of its own.
        is_plain = mode.startswith("100")
        if depth > 2:
            attachments[path] = blob if is_plain and stage == "0" else ""
        elif depth == 2 and path.endswith(".toml"):
            jobs[path] = blob if is_plain else ""
    return _Listed(jobs, attachments)
