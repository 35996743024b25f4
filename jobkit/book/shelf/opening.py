"""Where the text of a book is: in the working tree, in git's index, or in a commit.

All three answer the same four questions, so everything that reads a book reads any of them. Paths are
relative to the book's folder, with "/" between the parts. Symbolic links below that folder are never
followed: what they name may lie outside the book, and git stores the name alone.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import Protocol

from jobkit.book import git
from jobkit.book.disk.errors import DiskError, worded
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.reading import read_beneath, read_each
from jobkit.book.shelf.containing import containing
from jobkit.book.shelf.errors import ShelfError, unreadable
from jobkit.book.shelf.file_kinds import BY_NAME, MOST_FOLDERS, Kind, kind_of
from jobkit.book.shelf.stored import Index, Revision

__all__ = ["Index", "Kind", "Revision", "Shelf", "ShelfError", "Tree", "kind_of"]


class Shelf(Protocol):
    """A place that a whole book can be read from."""

    @property
    def name(self) -> str:
        """What a message calls this place."""

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted, unreadable ones too; raises ShelfError, GitError."""

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted; raises ShelfError, GitError."""

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted: none, one, or more by mistake; raises ShelfError, GitError."""

    def jobs_containing(self, word: str, since: str = "") -> tuple[str, ...]:
        """Return the job files in whose text a word is, of the folder of a year or later; raises as above."""

    def holds(self, path: str) -> bool:
        """Tell whether a file is one of the book's; raises ShelfError, GitError."""

    def own_paths(self) -> tuple[str, ...]:
        """Return the bench's own files, sorted: settings, meters, stock, clients, board files."""

    def read(self, path: str) -> bytes:
        """Return the content of one file, listed or not; raises ShelfError."""

    def read_many(self, paths: Iterable[str]) -> Iterator[tuple[str, bytes | ShelfError]]:
        """Yield each path with its content, in the order given, or with the reason why it cannot be read."""

    def blob(self, path: str) -> str:
        """Return the id that git gives to the file's content; raises ShelfError."""

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of many contents; a file that cannot be read has none."""

    @property
    def repo(self) -> git.Repo | None:
        """The repository that git says more about; None where it was not asked."""

    @property
    def hashing(self) -> str:
        """How git names contents here: "sha1" or "sha256"."""


class Tree:
    """The working tree: what is in the folder now, in git or not."""

    name = "working tree"

    def __init__(self, root: str | os.PathLike[str], hashing: str = "sha1") -> None:
        """Open the folder that holds bench.toml; `hashing` is the object format of its repository."""
        self._root = os.path.realpath(root)
        self.hashing = hashing
        self._true_folders: dict[str, bool] = {}

    @property
    def repo(self) -> git.Repo | None:
        """The repository, where git was asked about the book: not here."""
        return None

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; folders and links that are named like one are among them."""
        found = list(self.own_paths())
        for year in self._years():
            found += self._year(year)
        return tuple(sorted(found))

    def job_paths(self) -> tuple[str, ...]:
        """Return the files of jobs, sorted."""
        found = (path for year in self._years() for path, _ in self._scan(year))
        return tuple(sorted(path for path in found if path.endswith(".toml")))

    def jobs_named(self, job_id: str) -> tuple[str, ...]:
        """Return the job files of a name, sorted, without going through the others."""
        if kind_of(f"jobs/year/{job_id}.toml") != "job" or "\0" in job_id:
            return ()
        found = (f"{year}/{job_id}.toml" for year in self._years())
        return tuple(sorted(path for path in found if os.path.lexists(f"{self._root}/{path}")))

    def jobs_containing(self, word: str, since: str = "") -> tuple[str, ...]:
        """Return the job files in whose text a word is, of the folder of a year or later."""
        paths = (path for path in self.job_paths() if path.split("/")[1] >= since)
        return containing(self.read_many(paths), word)

    def holds(self, path: str) -> bool:
        """Tell whether a file is one of the book's, without going through the others."""
        kind, place = kind_of(path), f"{self._root}/{path}"
        if kind == "other" or "\0" in path or not os.path.lexists(place):
            return False
        if kind in {"job", "attachment"} and not self._is_true(path.rpartition("/")[0]):
            return False
        is_folder = os.path.isdir(place) and not os.path.islink(place)  # noqa: PTH112, PTH114 - as the scan sees it
        return kind != "attachment" or not is_folder

    def _years(self) -> list[str]:
        return [path for path, is_folder in self._scan("jobs") if is_folder]

    def own_paths(self) -> tuple[str, ...]:
        """Return the bench's own files, sorted."""
        found = [path for path in BY_NAME if os.path.lexists(f"{self._root}/{path}")]
        found += (path for path, _ in self._scan("boards") if kind_of(path) == "board")
        return tuple(sorted(found))

    def _year(self, year: str) -> Iterator[str]:
        for path, is_folder in self._scan(year):
            if path.endswith(".toml"):
                yield path
            if is_folder:
                yield from self._attachments(path)

    def attachments(self, folder: str) -> tuple[str, ...]:
        """Return the attachments in the folder of one job, sorted."""
        return tuple(sorted(self._attachments(folder)))

    def _attachments(self, folder: str) -> Iterator[str]:
        if folder.count("/") >= MOST_FOLDERS:
            return
        for path, is_folder in self._scan(folder):
            if is_folder:
                yield from self._attachments(path)
            else:
                yield path

    def _scan(self, folder: str) -> list[tuple[str, bool]]:
        """Return each path in a folder and whether it is a folder; no names that begin with a dot."""
        names: list[tuple[str, bool]] = []
        with _if_there(folder), folder_beneath(self._root, folder) as opened:
            names = opened.names()
        return [(f"{folder}/{name}", is_folder) for name, is_folder in names if not name.startswith(".")]

    def _check_folder(self, folder: str) -> None:
        """Raise ShelfError where something else has the name of a folder."""
        with _if_there(folder), folder_beneath(self._root, folder):
            pass

    def read(self, path: str) -> bytes:
        """Return the content of one file; raises ShelfError for what is not a plain file inside the book."""
        try:
            return read_beneath(self._root, path)
        except DiskError as error:
            raise unreadable(error) from error

    def _is_true(self, folder: str) -> bool:
        """Return whether a folder is inside the book with no link on the way."""
        if folder not in self._true_folders:
            plain = os.path.normpath(f"{self._root}/{folder}")
            inside = not folder.startswith("/") and ".." not in folder.split("/")
            self._true_folders[folder] = inside and os.path.realpath(plain) == plain
        return self._true_folders[folder]

    def read_many(self, paths: Iterable[str]) -> Iterator[tuple[str, bytes | ShelfError]]:
        """Yield each path with its content, or with the reason why it cannot be read."""
        asked = list(paths)
        for path, content in zip(asked, read_each(self._root, asked), strict=True):
            yield path, unreadable(content) if isinstance(content, DiskError) else content

    def blob(self, path: str) -> str:
        """Return the id that git would give to the content as it is here (no line ends converted)."""
        return git.blob_id(self.read(path), self.hashing)

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of many contents; a file that cannot be read has none."""
        found = {}
        for path in paths:
            with suppress(ShelfError):
                found[path] = self.blob(path)
        return found


@contextmanager
def _if_there(folder: str) -> Iterator[None]:
    """Let a folder be missing; raise ShelfError where it cannot be opened for another reason."""
    try:
        yield
    except FileNotFoundError:
        return
    except OSError as error:
        raise unreadable(worded(error, f"the folder {folder}", "read")) from error
