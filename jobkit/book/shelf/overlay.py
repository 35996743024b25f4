"""The working tree with unsaved text in the place of some files: what an editor shows, not saved yet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from jobkit.book import git
from jobkit.book.shelf.containing import containing
from jobkit.book.shelf.errors import ShelfError
from jobkit.book.shelf.file_kinds import BY_NAME, kind_of
from jobkit.book.shelf.opening import Tree


class Overlay:
    """A shelf that gives unsaved text where there is any, and what is in the working tree for all else."""

    name = "working tree"

    def __init__(
        self, tree: Tree, unsaved: Mapping[str, bytes], seen: dict[object, tuple[str, ...]] | None = None
    ) -> None:
        """Take the tree, and the unsaved text by path; a file that is not saved at all yet counts as there.

        `seen` remembers what was looked for in all files of the tree, for the next overlay of the same.
        """
        self._seen = {} if seen is None else seen
        self.tree = tree
        self.unsaved = unsaved
        self.hashing = tree.hashing

    @property
    def repo(self) -> git.Repo | None:
        """The repository that the tree is in, where git was asked about it."""
        return self.tree.repo

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; raises ShelfError, GitError."""
        new = (path for path in self.unsaved if kind_of(path) != "other")
        return tuple(sorted({*self._once("paths", self.tree.paths), *new}))

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted; raises ShelfError, GitError."""
        return tuple(sorted({*self.tree.job_paths(), *self.unsaved_jobs()}))

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted; raises ShelfError, GitError."""
        new = (path for path in self.unsaved_jobs() if path.endswith(f"/{job_id}.toml"))
        return tuple(sorted({*self.tree.jobs_named(job_id), *new}))

    def jobs_containing(self, word: str, since: str = "") -> tuple[str, ...]:
        """Return the job files in whose text a word is, of the folder of a year or later; raises as above."""
        found = self._once((word, since), lambda: self.tree.jobs_containing(word, since))
        saved = (path for path in found if path not in self.unsaved)
        open_ = ((path, self.unsaved[path]) for path in self.unsaved_jobs() if path.split("/")[1] >= since)
        return tuple(sorted((*saved, *containing(open_, word))))

    def holds(self, path: str) -> bool:
        """Tell whether a file is one of the book's; raises ShelfError, GitError."""
        return (path in self.unsaved and kind_of(path) != "other") or self.tree.holds(path)

    def own_paths(self) -> tuple[str, ...]:
        """Return the bench's own files, sorted: settings, meters, stock, clients, board files."""
        new = (path for path in self.unsaved if path in BY_NAME or kind_of(path) == "board")
        return tuple(sorted({*self.tree.own_paths(), *new}))

    def read(self, path: str) -> bytes:
        """Return the content of one file, listed or not; raises ShelfError."""
        return self.unsaved[path] if path in self.unsaved else self.tree.read(path)

    def read_many(self, paths: Iterable[str]) -> Iterator[tuple[str, bytes | ShelfError]]:
        """Yield each path with its content, in the order given, or with the reason why it cannot be read."""
        asked = list(paths)
        saved = self.tree.read_many(path for path in asked if path not in self.unsaved)
        for path in asked:
            yield (path, self.unsaved[path]) if path in self.unsaved else next(saved)

    def blob(self, path: str) -> str:
        """Return the id that git gives to the file's content; raises ShelfError."""
        return git.blob_id(self.unsaved[path], self.hashing) if path in self.unsaved else self.tree.blob(path)

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of many contents; a file that cannot be read has none."""
        asked = list(paths)
        saved = self.tree.blobs(path for path in asked if path not in self.unsaved)
        return saved | {path: self.blob(path) for path in asked if path in self.unsaved}

    def _once(self, what: object, look: Callable[[], tuple[str, ...]]) -> tuple[str, ...]:
        if what not in self._seen:
            self._seen[what] = look()
        return self._seen[what]

    def unsaved_jobs(self) -> Iterator[str]:
        """Yield the files of jobs that have unsaved text."""
        return (path for path in self.unsaved if kind_of(path) == "job")


WorkingTree = Tree | Overlay
"""What a person has before them: the files in the folder, perhaps with unsaved text in the place of some."""
