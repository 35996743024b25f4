"""Shelves that git stores: its index, and a commit."""

from __future__ import annotations

import os
from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from jobkit.book import git
from jobkit.book.file_kinds import BY_NAME, kind_of
from jobkit.book.shelf_plain import ShelfError, link_error

if TYPE_CHECKING:
    from jobkit.book.kept import Keep


class _Stored(ABC):
    """Files as git stores them; what index and commit have in common."""

    _mend_absence = "check the name"

    def __init__(self, root: str | os.PathLike[str], name: str) -> None:
        self.name = name
        self.keep: Keep | None = None
        self._repo = git.open_repo(root)
        self.hashing = self._repo.hashing

    @cached_property
    def _entries(self) -> dict[str, git.Entry]:
        return {entry.path: entry for entry in self._listing()}

    @abstractmethod
    def _listing(self) -> tuple[git.Entry, ...]:
        """List what is stored, as the index or the commit has it."""

    @property
    def repo(self) -> git.Repo:
        """The repository that the files lie in."""
        return self._repo

    def below(self, folder: str = "") -> tuple[str, ...]:
        """Return every file stored in the book, or below a folder of it, whatever it is; raises GitError."""
        start = f"{folder}/" if folder else ""
        return tuple(sorted(path for path in self._entries if path.startswith(start)))

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; raises GitError."""
        return tuple(sorted(path for path in self._entries if kind_of(path) != "other"))

    def own_paths(self) -> tuple[str, ...]:
        """Return the bench's own files, sorted; raises GitError."""
        own = (path for path in self._entries if path in BY_NAME or path.startswith("boards/"))
        return tuple(sorted(path for path in own if kind_of(path) != "other"))

    def read(self, path: str) -> bytes:
        """Return the content of one file, listed or not; raises ShelfError."""
        _, content = next(self.read_many([path]))
        if isinstance(content, ShelfError):
            raise content
        return content

    def read_many(self, paths: Iterable[str]) -> Iterator[tuple[str, bytes | ShelfError]]:
        """Yield each path with its content from one git process, or with the reason why it cannot be read."""
        asked = [(path, self._find(path)) for path in paths]
        contents = git.read_blobs(self._repo, (found for _, found in asked if isinstance(found, str)))
        for path, found in asked:
            yield path, found if isinstance(found, ShelfError) else _held(path, next(contents))

    def blob(self, path: str) -> str:
        """Return the id of the file's content; raises ShelfError."""
        found = self._find(path)
        if isinstance(found, ShelfError):
            raise found
        return found

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of many contents; a file that cannot be read has none."""
        found = ((path, self._find(path)) for path in paths)
        return {path: blob for path, blob in found if isinstance(blob, str)}

    def _find(self, path: str) -> str | ShelfError:
        entry = self._entries.get(path)
        if entry is None:
            return ShelfError(f"there is no {path} in the {self.name}", self._mend_absence)
        if entry.stage:
            return ShelfError(f"{path} is not merged yet", "settle its conflict, then `git add` it")
        if entry.mode == "120000":
            return link_error(path)
        if entry.mode == "160000":
            return ShelfError(f"{path} is another repository", "put a file in its place")
        return entry.blob


def _held(path: str, content: bytes | None) -> bytes | ShelfError:
    if content is None:
        mend = "run `git fsck`; a clone made with --filter gets it with `git fetch --refetch --no-filter`"
        return ShelfError(f"the repository lacks the content of {path}", mend)
    return content


class Index(_Stored):
    """Git's index: what the next commit will hold. GIT_INDEX_FILE is obeyed, as a hook needs."""

    _mend_absence = "check the name, or `git add` the file"

    def __init__(self, root: str | os.PathLike[str]) -> None:
        """Open the folder that holds bench.toml; raises GitError."""
        super().__init__(root, "index")

    def _listing(self) -> tuple[git.Entry, ...]:
        return git.index_entries(self._repo)


class Revision(_Stored):
    """One commit."""

    def __init__(self, root: str | os.PathLike[str], revision: str) -> None:
        """Open the folder as it was in a commit; raises UnknownRevisionError, GitError."""
        super().__init__(root, f"revision {revision}")
        self.commit = git.resolve(self._repo, revision)

    def _listing(self) -> tuple[git.Entry, ...]:
        return git.tree_entries(self._repo, self.commit)
