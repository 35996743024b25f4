"""A file read whole, or opened to be read piece by piece."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack
from itertools import groupby
from posixpath import dirname
from typing import BinaryIO

from jobkit.book.disk.errors import LARGEST, DiskError, in_words, worded
from jobkit.book.disk.folder import Folder, folder_beneath
from jobkit.book.disk.named import place_named


def read_beneath(root: str, path: str, limit: int = LARGEST) -> bytes:
    """Return what the plain file at `path` below `root` holds; raises DiskError."""
    folder, _, name = path.rpartition("/")
    with in_words(path, "read"), folder_beneath(root, folder) as opened:
        return opened.read(name, limit)


def read_each(root: str, paths: Iterable[str]) -> Iterator[bytes | DiskError]:
    """Yield what each of many plain files below `root` holds, or why it cannot be read.

    A folder is opened once for all its files that follow each other.
    """
    for folder, those in groupby(paths, key=dirname):
        yield from _each_in(root, folder, list(those))


def _each_in(root: str, folder: str, paths: Sequence[str]) -> Iterator[bytes | DiskError]:
    with ExitStack() as closing:
        try:
            opened = closing.enter_context(folder_beneath(root, folder))
        except OSError as error:
            yield from (worded(error, path, "read") for path in paths)
            return
        for path in paths:
            try:
                yield opened.read(path.rpartition("/")[2])
            except OSError as error:
                yield worded(error, path, "read")


def open_beneath(root: str, path: str) -> BinaryIO:
    """Open the plain file at `path` below `root` to read it piece by piece, however large; raises DiskError."""
    folder, _, name = path.rpartition("/")
    with in_words(path, "read"), folder_beneath(root, folder) as opened:
        return os.fdopen(opened.open_file(name), "rb")


def open_named(name: str) -> tuple[BinaryIO, int]:
    """Open a plain file that the person names to read it piece by piece, and return it with its size in bytes.

    The person's own links are followed, those of a repository or a book are not. Raises DiskError.
    """
    with in_words(name, "read"):
        place = place_named(name)
        folder, _, last = place.path.rpartition("/")
        with folder_beneath(place.root, folder) as opened:
            handle = opened.open_file(last)
            return os.fdopen(handle, "rb"), os.fstat(handle).st_size


def read_plain(place: str, limit: int = LARGEST) -> bytes:
    """Return what a plain file holds that is not the book's own: one of git's, or one that git or the person names.

    Links are followed. Raises DiskError.
    """
    folder, name = os.path.split(os.path.realpath(place))
    with in_words(place, "read"):
        opened = Folder.at(folder)
        try:
            return opened.read(name, limit)
        finally:
            opened.close()
