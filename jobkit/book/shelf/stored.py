"""Shelves that git stores: its index, and a commit."""

from __future__ import annotations

import os
from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from jobkit.book import git
from jobkit.book.disk.errors import link, too_large
from jobkit.book.git.files_containing import files_containing
from jobkit.book.git.index_search import folders_below
from jobkit.book.shelf.containing import containing
from jobkit.book.shelf.errors import AbsentError, LostError, ShelfError, unreadable
from jobkit.book.shelf.file_kinds import BY_NAME, is_private, kind_of

_FEW = 500
"""So many files are found one by one in a listing; for more it is worth while to take it apart."""


class _Stored(ABC):
    """Files as git stores them; what index and commit have in common."""

    _mend_absence = "check the name"

    def __init__(self, repo: git.Repo, name: str) -> None:
        self.name = name
        self._repo = repo
        self.hashing = repo.hashing

    @cached_property
    def _entries(self) -> dict[str, git.GitEntry]:
        return {entry.path: entry for entry in self._listing()}

    @abstractmethod
    def _listing(self) -> tuple[git.GitEntry, ...]:
        """List what is stored, as the index or the commit has it."""

    @property
    def repo(self) -> git.Repo:
        """The repository that the files are in."""
        return self._repo

    def below(self, folder: str = "") -> tuple[str, ...]:
        """Return every file stored in the book, or below a folder of it, whatever it is; raises GitError."""
        start = f"{folder}/" if folder else ""
        return tuple(sorted(path for path in self._entries if path.startswith(start)))

    def private(self) -> tuple[str, ...]:
        """Return the files with names and addresses, sorted; raises GitError."""
        return tuple(sorted(filter(is_private, self._entries)))

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; raises GitError."""
        return tuple(sorted(path for path in self._entries if kind_of(path) != "other"))

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted; raises GitError."""
        return tuple(sorted(path for path in self._entries if kind_of(path) == "job"))

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted; raises GitError."""
        return tuple(path for path in self.job_paths() if path.endswith(f"/{job_id}.toml"))

    def jobs_containing(self, word: str, since: str = "") -> tuple[str, ...]:
        """Return the job files in whose text a word is, of the folder of a year or later; raises GitError."""
        paths = (path for path in self.job_paths() if path.split("/")[1] >= since)
        return containing(self.read_many(paths), word)

    def holds(self, path: str) -> bool:
        """Tell whether a file is one of the book's; raises GitError."""
        return kind_of(path) != "other" and self._entry(path) is not None

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
        contents = self.contents(found for _, found in asked if isinstance(found, str))
        for path, found in asked:
            yield path, found if isinstance(found, ShelfError) else _held(path, next(contents))

    def contents(self, blobs: Iterable[str]) -> Iterator[bytes | git.Unread]:
        """Yield contents as `git.read_blobs` does."""
        return git.read_blobs(self._repo, blobs)

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

    def _entry(self, path: str) -> git.GitEntry | None:
        return self._entries.get(path)

    def _find(self, path: str) -> str | ShelfError:
        entry = self._entry(path)
        if entry is None:
            return AbsentError(f"there is no {path} in the {self.name}", self._mend_absence)
        if entry.stage:
            return ShelfError(f"{path} is not merged yet", "resolve its conflict, then `git add` it")
        if entry.mode == "120000":
            return unreadable(link(path))
        if entry.mode == "160000":
            return ShelfError(f"{path} is another repository", "replace it with a file")
        return entry.blob


def _held(path: str, content: bytes | git.Unread) -> bytes | ShelfError:
    if content is git.Unread.TOO_LARGE:
        return unreadable(too_large(path))
    if content is git.Unread.MISSING:
        mend = "run `git fsck`; a clone made with --filter gets it with `git fetch --refetch --no-filter`"
        return LostError(f"the repository does not have the content of {path}", mend)
    return content


_AHEAD = 50
"""So many staged jobs are fetched before they are read, and no more."""


class Index(_Stored):
    """Git's index: what the next commit will hold. GIT_INDEX_FILE is obeyed, as a hook needs."""

    _mend_absence = "check the name, or `git add` the file"

    def __init__(self, root: str | os.PathLike[str], query: git.StagedQuery | None = None) -> None:
        """Open the folder that holds bench.toml; raises GitError. Git may have been asked about it already."""
        self._query = query or git.StagedQuery(git.open_repo(root))
        super().__init__(self._query.repo, "index")
        self._looked_for = 0
        self._coming: Iterator[tuple[str, bytes | git.Unread]] = iter(())
        self._fetched: dict[str, bytes | git.Unread] = {}

    @property
    def changes(self) -> tuple[git.StagedFile, ...]:
        """What the next commit adds, changes or takes away; raises GitError."""
        return self._query.changes

    def fetch_staged(self) -> None:
        """Ask git at once for all that a check of the next commit reads on most days; raises GitError."""
        jobs = [one for one in self.changes if kind_of(one.path) == "job"]
        if len(jobs) > _AHEAD:
            return  # all of them are not to be in memory at once
        own = self.blobs(self.own_paths()).values()
        wanted = sorted({*own, *(one.was for one in jobs), *(one.blob for one in jobs)} - {""})
        self._coming = zip(wanted, git.begin_blobs(self._repo, wanted), strict=True) if wanted else iter(())

    def contents(self, blobs: Iterable[str]) -> Iterator[bytes | git.Unread]:
        """Yield contents as `git.read_blobs` does, without a process for those that were fetched."""
        self._fetched.update(self._coming)
        wanted = list(blobs)
        others = super().contents(blob for blob in wanted if blob not in self._fetched)
        for blob in wanted:
            yield self._fetched[blob] if blob in self._fetched else next(others)

    def is_listed(self, path: str) -> bool:
        """Tell whether there is any such file in the index; raises GitError."""
        return self._entry(path) is not None

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted; raises GitError."""
        found = git.find_named(self._query.index, f"{job_id}.toml")
        skip = len(self._repo.prefix)
        paths = {one.path[skip:] for one in found}
        return tuple(sorted(path for path in paths if kind_of(path) == "job"))

    def jobs_containing(self, word: str, since: str = "") -> tuple[str, ...]:
        """Return the job files in whose text a word is, of the folder of a year or later; raises GitError."""
        years = folders_below(self._query.index, f"{self._repo.prefix}jobs")
        found = files_containing(self._repo, [f"jobs/{year}" for year in years if year >= since], [word])
        return tuple(sorted(path for path in found if kind_of(path) == "job"))

    def has_jobs_besides(self, few: Sequence[str]) -> bool:
        """Tell whether there are job files but for a few; raises GitError."""
        found = git.find_below(self._query.index, f"{self._repo.prefix}jobs/")
        paths = (one.path[len(self._repo.prefix) :] for one in found)
        return any(kind_of(path) == "job" and path not in few for path in paths)

    def _listing(self) -> tuple[git.GitEntry, ...]:
        return git.entries(self._repo, self._query.index)

    def _entry(self, path: str) -> git.GitEntry | None:
        self._looked_for += 1
        if self._looked_for > _FEW:
            return super()._entry(path)
        found = git.find_listed(self._query.index, self._repo.prefix + path)
        return git.GitEntry(path, found.mode, found.blob, found.stage) if found else None

    def below(self, folder: str = "") -> tuple[str, ...]:
        """Return every file stored in the book, or below a folder of it, whatever it is; raises GitError."""
        if not folder:
            return super().below()
        found = git.find_below(self._query.index, f"{self._repo.prefix}{folder}/")
        return tuple(sorted({one.path[len(self._repo.prefix) :] for one in found}))

    def private(self) -> tuple[str, ...]:
        """Return the files with names and addresses below private/, and those that are staged; raises GitError."""
        staged = (one.path for one in self.changes if one.letter != "D" and is_private(one.path))
        return tuple(sorted({*self.below("private"), *staged}))

    def new_attachments(self) -> tuple[str, ...]:
        """Return the attachments that the next commit adds or changes, sorted; raises GitError."""
        staged = (one.path for one in self.changes if one.letter != "D")
        return tuple(sorted(path for path in staged if kind_of(path) == "attachment"))

    def own_paths(self) -> tuple[str, ...]:
        """Return the bench's own files, sorted; raises GitError."""
        boards = (path for path in self.below("boards") if kind_of(path) == "board")
        return tuple(sorted((*filter(self.is_listed, BY_NAME), *boards)))


class Revision(_Stored):
    """One commit."""

    def __init__(self, root: str | os.PathLike[str], revision: str) -> None:
        """Open the folder as it was in a commit; raises UnknownRevisionError, GitError."""
        super().__init__(git.open_repo(root), f"revision {revision}")
        self.commit = git.resolve(self._repo, revision)

    def _listing(self) -> tuple[git.GitEntry, ...]:
        return git.tree_entries(self._repo, self.commit)
