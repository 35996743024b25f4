"""Where the text of a book lies: in the working tree, in git's index, or in a commit.

All three answer the same four questions, so everything that reads a book reads any of them. Paths are
relative to the book's folder, with "/" between the parts. Symbolic links below that folder are never
followed: what they name may lie outside the book, and git stores the name alone.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cached_property
from typing import TYPE_CHECKING, Literal, Protocol

from jobkit.book import git
from jobkit.book.shelf_plain import ShelfError, link_error, plain_content

if TYPE_CHECKING:
    from jobkit.book.kept import Keep

__all__ = ["Index", "Kind", "Revision", "Shelf", "ShelfError", "Tree", "kind_of"]

Kind = Literal["job", "board", "bench", "meters", "stock", "clients", "attachment", "other"]

_BY_NAME: dict[str, Kind] = {
    "bench.toml": "bench",
    "meters.toml": "meters",
    "stock.toml": "stock",
    "private/clients.toml": "clients",
}


def kind_of(path: str) -> Kind:
    """Return what a file of the book is, told from its path alone.

    Names that begin with a dot are other: locks, swap files and half-written files of editors.

    >>> kind_of("jobs/2026/K26-0047.toml"), kind_of("jobs/2026/K26-0047/load.csv"), kind_of("jobs/notes.toml")
    ('job', 'attachment', 'other')
    """
    if path in _BY_NAME:
        return _BY_NAME[path]
    room, _, rest = path.partition("/")
    if room not in {"jobs", "boards"} or "/." in path:
        return "other"
    folder, _, name = rest.rpartition("/")
    if room == "boards":
        return "board" if not folder and name.endswith(".toml") else "other"
    if "/" in folder:
        return "attachment"
    return "job" if folder and name.endswith(".toml") else "other"


class Shelf(Protocol):
    """A place that a whole book can be read from."""

    @property
    def name(self) -> str:
        """What a message calls this place."""

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted, unreadable ones too; raises ShelfError, GitError."""

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
    def hashing(self) -> str:
        """How git names contents here: "sha1" or "sha256"."""

    @property
    def keep(self) -> Keep | None:
        """Where answers about this book are kept, if anywhere."""


class Tree:
    """The working tree: what lies in the folder now, in git or not."""

    name = "working tree"
    keep: Keep | None = None

    def __init__(self, root: str | os.PathLike[str], hashing: str = "sha1") -> None:
        """Open the folder that holds bench.toml; `hashing` is the object format of its repository."""
        self._root = os.path.realpath(root)
        self.hashing = hashing
        self._true_folders: dict[str, bool] = {}

    def paths(self) -> tuple[str, ...]:
        """Return the files of the book, sorted; folders and links that are named like one are among them."""
        found = list(self.own_paths())
        for year, is_folder in self._scan("jobs"):
            if is_folder:
                found += self._year(year)
        return tuple(sorted(found))

    def own_paths(self) -> tuple[str, ...]:
        """Return the bench's own files, sorted."""
        found = [path for path in _BY_NAME if os.path.lexists(f"{self._root}/{path}")]
        found += (path for path, _ in self._scan("boards") if kind_of(path) == "board")
        return tuple(sorted(found))

    def _year(self, year: str) -> Iterator[str]:
        for path, is_folder in self._scan(year):
            if path.endswith(".toml"):
                yield path
            if is_folder:
                yield from self._attachments(path)

    def _attachments(self, folder: str) -> Iterator[str]:
        for path, is_folder in self._scan(folder):
            if is_folder:
                yield from self._attachments(path)
            else:
                yield path

    def _scan(self, folder: str) -> Iterator[tuple[str, bool]]:
        """Yield each path in a folder and whether it is a folder; no names that begin with a dot."""
        try:
            with os.scandir(f"{self._root}/{folder}") as entries:
                for entry in entries:
                    if not entry.name.startswith("."):
                        yield f"{folder}/{entry.name}", entry.is_dir(follow_symlinks=False)
        except FileNotFoundError:
            return
        except OSError as error:
            message = f"the folder {folder} cannot be read ({error.strerror})"
            raise ShelfError(message, "mend its permissions, or move it out of the book") from error

    def read(self, path: str) -> bytes:
        """Return the content of one file; raises ShelfError for what is no plain file inside the book."""
        folder, _, name = path.rpartition("/")
        if name in {"", ".", ".."} or "\0" in path or not self._is_true(folder):
            raise _outside(path)
        return plain_content(f"{self._root}/{path}", path)

    def _is_true(self, folder: str) -> bool:
        """Return whether a folder lies inside the book with no link on the way."""
        if folder not in self._true_folders:
            plain = os.path.normpath(f"{self._root}/{folder}")
            inside = not folder.startswith("/") and ".." not in folder.split("/")
            self._true_folders[folder] = inside and os.path.realpath(plain) == plain
        return self._true_folders[folder]

    def read_many(self, paths: Iterable[str]) -> Iterator[tuple[str, bytes | ShelfError]]:
        """Yield each path with its content, or with the reason why it cannot be read."""
        for path in paths:
            try:
                yield path, self.read(path)
            except ShelfError as error:
                yield path, error

    def blob(self, path: str) -> str:
        """Return the id that git would give to the content as it lies here (no line ends converted)."""
        return git.blob_id(self.read(path), self.hashing)

    def blobs(self, paths: Iterable[str]) -> dict[str, str]:
        """Return the ids of many contents; a file that cannot be read has none."""
        found = {}
        for path in paths:
            with suppress(ShelfError):
                found[path] = self.blob(path)
        return found


def _outside(path: str) -> ShelfError:
    return ShelfError(
        f"{path!r} names no file inside the book", "name one by its path below the book's folder"
    )


class _Stored:
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

    def _listing(self) -> tuple[git.Entry, ...]:
        raise NotImplementedError

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
        own = (path for path in self._entries if path in _BY_NAME or path.startswith("boards/"))
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
