"""The working tree of a book in git: git tells what lies there and which content it has, so little has to be read."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.git import index_search
from jobkit.book.shelf.file_kinds import MOST_FOLDERS, kind_of
from jobkit.book.shelf.opening import Tree


class _Jobs(NamedTuple):
    """The job files that lie in the book: those git can vouch for, with their blobs, and those it cannot."""

    sure: dict[str, str]
    unsure: frozenset[str]


class GitTree(Tree):
    """The working tree as `Tree` gives it, answer for answer; whatever git cannot vouch for is looked at."""

    def __init__(self, root: str | os.PathLike[str], query: git.WorktreeQuery) -> None:
        """Open the folder that holds bench.toml, about whose repository git has been asked."""
        super().__init__(root, query.repo.hashing)
        self.query = query

    @property
    def repo(self) -> git.Repo:
        """The repository that the book lies in."""
        return self.query.repo

    @cached_property
    def _jobs(self) -> _Jobs | None:
        """Put together what git says; None where only a look at the folder itself will do."""
        self._check_folder("jobs")
        status = self.query.status
        if status is None:
            return None
        sure = _jobs_listed(status.listing, self.repo.prefix)
        for path in status.changed:
            sure.pop(path, None)
        return _Jobs(sure, frozenset(path for path in self._unsure(status) if kind_of(path) == "job"))

    def _unsure(self, status: git.WorktreeStatus) -> Iterator[str]:
        yield from self._still_there(status.changed)
        yield from self._new

    def _still_there(self, changed: Iterable[str]) -> Iterator[str]:
        for path in changed:
            kind = kind_of(path)
            if kind not in {"job", "attachment"} or not self._is_true(path.rpartition("/")[0]):
                continue
            place = f"{self._root}/{path}"
            is_folder = os.path.isdir(place) and not os.path.islink(place)  # noqa: PTH112, PTH114 - as the scan sees it
            if os.path.lexists(place) and (kind == "job" or not is_folder):
                yield path

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

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; folders and links that are named like one are among them."""
        status, jobs = self.query.status, self._jobs
        if status is None or jobs is None:
            return super().paths()
        attached = _attachments_listed(status.listing, self.repo.prefix) - status.changed
        return tuple(sorted({*self.own_paths(), *jobs.sure, *attached, *self._unsure(status)}))

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted."""
        jobs = self._jobs
        return super().job_paths() if jobs is None else tuple(sorted((*jobs.sure, *jobs.unsure)))

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of contents, of clean files as git knows them; what cannot be read has none."""
        jobs = self._jobs
        if jobs is None or not self.query.trusted:
            return super().blobs(paths)
        sure = jobs.sure
        asked = tuple(paths)
        known = {path: sure[path] for path in asked if sure.get(path)}
        return known | super().blobs(path for path in asked if path in jobs.unsure)

    def untracked(self) -> frozenset[str]:
        """Return the files below jobs/ that are not in the index, ignored ones too; raises GitError."""
        status = self.query.status
        if status is None or any(name.endswith("/") for name in status.others):
            return frozenset(git.untracked_names(self.repo, "jobs"))
        return frozenset(status.others)

    def private(self) -> tuple[str, ...]:
        """Return the files below private/ that are in the index or that `git add` would take; raises GitError."""
        there = os.path.isdir(f"{self._root}/private")  # noqa: PTH112 - text in, text out
        return self.query.private if there else ()

    def is_listed(self, path: str) -> bool:
        """Tell whether there is any such file in the index."""
        return index_search.find(self.query.listing or b"", self.repo.prefix + path) is not None

    def holds(self, path: str) -> bool:
        """Tell whether a file is one of the book's, without going through all where git can tell."""
        status = self.query.status
        kind = kind_of(path)
        if status is None or kind not in {"job", "attachment"}:
            return path in self._all
        if path in status.changed:
            return any(self._still_there([path]))
        return self.is_listed(path) or path in self._new

    @cached_property
    def _all(self) -> frozenset[str]:
        return frozenset(self.paths())

    @cached_property
    def _new(self) -> frozenset[str]:
        status = self.query.status
        return frozenset(self._untracked(status.others)) if status else frozenset()

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted."""
        return tuple(
            path for path in self.paths() if path.endswith(f"/{job_id}.toml") and kind_of(path) == "job"
        )


def _jobs_listed(listing: bytes, prefix: str) -> dict[str, str]:
    """Read the job files out of a listing of the index as `WorktreeStatus` has it, with their blobs."""
    jobs = {}
    for entry in os.fsdecode(listing).split("\0"):
        # Tag, mode, blob and stage stand before the path. Going through lines, and no regular expression through the
        # whole, takes a third of the time.
        if entry.endswith(".toml"):
            about, _, path = entry.partition("\t")
            path = path.removeprefix(prefix)
            if path.count("/") == 2 and path.startswith("jobs/") and "/." not in path:
                _, mode, blob, _ = about.split(" ")
                # A link is listed too, but has no content of its own.
                jobs[path] = blob if mode.startswith("100") else ""
    return jobs


_ATTACHMENT = r"\t%s(jobs/[^/\0]+/[^/\0]+/[^\0]+)\0"


def _attachments_listed(listing: bytes, prefix: str) -> set[str]:
    """Read the names of attachments out of a listing."""
    found = re.findall(_ATTACHMENT % re.escape(prefix), os.fsdecode(listing))
    return {path for path in found if "/." not in path and path.count("/") <= MOST_FOLDERS}
