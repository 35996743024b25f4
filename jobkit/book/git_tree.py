"""The working tree of a book in git: git tells what lies there and which content it has, so little has to be read."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cached_property
from hashlib import sha1
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.kept import Keep
from jobkit.book.shelf import Tree, kind_of


class _Lies(NamedTuple):
    """What lies below jobs/: job files git can vouch for, with their blobs; those it cannot; all else."""

    sure: dict[str, str]
    unsure: frozenset[str]
    attachments: frozenset[str]


class GitTree(Tree):
    """The working tree as `Tree` gives it, answer for answer; whatever git cannot vouch for is looked at."""

    def __init__(self, root: str | os.PathLike[str], repo: git.Repo, keep: Keep | None = None) -> None:
        """Open the folder that holds bench.toml and begin to ask git; raises GitMissingError."""
        super().__init__(root, repo.hashing)
        self.repo = repo
        self.keep = keep
        self._asking = git.Asking(repo)

    @cached_property
    def _standing(self) -> git.Standing | None:
        return self._asking.standing()

    @cached_property
    def _lies(self) -> _Lies | None:
        """Put together what git says; None where only a look at the folder itself will do."""
        standing = self._standing
        if standing is None:
            return None
        sure, attachments = _tracked(standing.listing, self.repo.prefix)
        unsure: set[str] = set()
        for path in standing.changed:
            sure.pop(path, None)
            attachments.discard(path)
        for path in (*self._still_there(standing.changed), *self._untracked(standing.others)):
            (unsure if kind_of(path) == "job" else attachments).add(path)
        return _Lies(sure, frozenset(unsure), frozenset(attachments))

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
                if depth > 1:
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
        lies = self._lies
        if lies is None:
            return super().paths()
        return tuple(sorted((*self.own_paths(), *lies.sure, *lies.unsure, *lies.attachments)))

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of contents, of clean files as git knows them; what cannot be read has none."""
        lies = self._lies
        if lies is None or self._standing is None or not self._standing.trusted:
            return super().blobs(paths)
        sure = lies.sure
        asked = tuple(paths)
        known = {path: sure[path] for path in asked if sure.get(path)}
        return known | super().blobs(path for path in asked if path in lies.unsure)

    def untracked(self) -> frozenset[str]:
        """Return the files below jobs/ that are not in the index, ignored ones too; raises GitError."""
        standing = self._standing
        if standing is None or any(name.endswith("/") for name in standing.others):
            return frozenset(git.untracked_names(self.repo, "jobs"))
        return frozenset(standing.others)

    def private(self) -> tuple[str, ...]:
        """Return the files below private/ that are in the index or that `git add` would take; raises GitError."""
        there = os.path.isdir(f"{self._root}/private")  # noqa: PTH112 - text in, text out
        return git.taken_names(self.repo, "private") if there else ()

    @cached_property
    def head(self) -> str:
        """The id of the last commit, "" where there is none yet."""
        with suppress(git.UnknownRevisionError):
            return git.resolve(self.repo, "HEAD")
        return ""

    def changed(self) -> frozenset[str]:
        """Return the tracked files whose working copy is gone or may differ from the index; raises GitError."""
        return frozenset(git.changed_names(self.repo)) if self._standing is None else self._standing.changed

    @cached_property
    def mark(self) -> bytes | None:
        """A digest of all that lies below jobs/, by name and content; None where git cannot vouch for it.

        Attachments count by name alone.
        """
        standing = self._standing
        if standing is None or not standing.trusted:
            return None
        loose: tuple[object, ...] = ()
        if standing.changed or standing.others:
            lies = self._lies
            assert lies is not None
            names = sorted(self._still_there(standing.changed)), sorted(self._untracked(standing.others))
            contents = sorted(super().blobs(lies.unsure).items())
            loose = (*names, sorted(standing.changed), standing.others, contents)
        digest = sha1(standing.listing, usedforsecurity=False)
        digest.update(repr(loose).encode("utf-8", "surrogateescape"))
        return digest.digest()


# Tag, mode, blob, stage and path, as `git ls-files -s -v -z` prints them, of the files below jobs/.
_JOB = r"[^\0] ([0-7]{6}) ([0-9a-f]+) [0-3]\t%s(jobs/[^/\0]+/[^/\0]+\.toml)\0"
_ATTACHMENT = r"\t%s(jobs/[^/\0]+/[^/\0]+/[^\0]+)\0"


def _tracked(listing: bytes, prefix: str) -> tuple[dict[str, str], set[str]]:
    """Read the index's listing: job files with their blobs, and the names of attachments."""
    text = os.fsdecode(listing)
    before = re.escape(prefix)
    # A link is listed too, but has no content of its own.
    found = re.findall(_JOB % before, text)
    sure = {path: blob if mode.startswith("100") else "" for mode, blob, path in found}
    attachments = set(re.findall(_ATTACHMENT % before, text))
    if "/." in text:
        sure = {path: blob for path, blob in sure.items() if "/." not in path}
        attachments = {path for path in attachments if "/." not in path}
    return sure, attachments


def open_tree(root: str | os.PathLike[str], keep: Keep | None, repo: git.Repo | None) -> Tree:
    """Open the working tree with the help of git where there is any."""
    if repo is not None:
        with suppress(git.GitMissingError):
            return GitTree(root, repo, keep)
    return Tree(root)
