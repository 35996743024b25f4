"""One folder of kept answers: each a file that is whole or not there, made by this very code, or it does not count."""

from __future__ import annotations

import os
import zlib
from collections.abc import Callable, Iterable
from contextlib import suppress
from hashlib import sha1
from io import BytesIO
from typing import IO, Any

from jobkit.book import git
from jobkit.book.cache.code import code_digest
from jobkit.book.cache.frames import piece_of, pieces_in
from jobkit.book.disk.errors import DiskError, MissingError, worded
from jobkit.book.disk.reading import read_beneath
from jobkit.book.disk.writing import replacing

_MAGIC = b"jobkit kept 1\n"
_HEAD = len(_MAGIC) + 20 + 4
_LARGEST = 1_000_000_000
"""More bytes than these are not read: what jobkit keeps of a large book is far smaller."""


class Keep:
    """Where the answers about one book are kept.

    Trouble with it never stops anything: it is told to `complain`, one line a call at most, and the answer is worked
    out anew.
    """

    def __init__(self, root: str, folder: str, complain: Callable[[str], None]) -> None:
        """Take git's folder, and the folder below it that is jobkit's own."""
        self._root = root
        self._folder = folder
        self._place = f"{root}/{folder}"
        self._complain = complain
        self._complained = False
        self._ahead: dict[str, list[Any]] = {}

    def read_ahead(self, name: str) -> None:
        """Load what will be asked for under a name, while others are at work."""
        self._ahead[name] = self.load_parts(name)

    def load(self, name: str) -> Any:
        """Give what is kept under a name, plain data; None where there is nothing that counts."""
        parts = self.load_parts(name)
        return parts[0] if parts else None

    def load_parts(self, name: str) -> list[Any]:
        """Give the parts of what is kept under a name; none where there is nothing that counts."""
        if name in self._ahead:
            return self._ahead.pop(name)
        try:
            data = read_beneath(self._root, f"{self._folder}/{name}", _LARGEST)
        except MissingError:
            return []
        except DiskError as error:
            self._say(f"what was kept cannot be used: {error.message}, so this took longer")
            return []
        return self._opened(f"{self._place}/{name}", data)

    def _opened(self, path: str, data: bytes) -> list[Any]:
        head = data[:_HEAD]
        body = memoryview(data)[_HEAD:]
        if len(head) == _HEAD and head.startswith(_MAGIC):
            if head[len(_MAGIC) : -4] != code_digest():
                return []  # an upgrade, or another installation: nothing to worry about
            if zlib.crc32(body).to_bytes(4, "big") == head[-4:]:
                with suppress(ValueError, EOFError, TypeError):
                    return list(pieces_in(_behind_head(data)))
        self._say(f"what was kept in {path} is damaged or not jobkit's own; it is made anew")
        return []

    def store(self, name: str, answer: Any) -> None:
        """Keep plain data under a name, in place of what was there; whoever reads meanwhile gets either, whole."""
        self.store_parts(name, (answer,))

    def store_parts(self, name: str, parts: Iterable[Any]) -> None:
        """Keep plain data in parts, so that no more than one of them is in memory once more as it is written."""
        try:
            with replacing(self._root, f"{self._folder}/{name}") as file:
                _write(file, parts)
        except OSError as error:
            why = worded(error, self._place, "written").message
            self._say(f"nothing can be kept: {why}, so every call takes longer")

    def _say(self, line: str) -> None:
        if not self._complained:
            self._complain(line)
        self._complained = True


def _write(file: IO[bytes], parts: Iterable[Any]) -> None:
    file.seek(_HEAD)
    check = 0
    for part in parts:
        piece = piece_of(part)
        check = zlib.crc32(piece, check)
        file.write(piece)
    file.seek(0)
    file.write(_MAGIC + code_digest() + check.to_bytes(4, "big"))


def _behind_head(data: bytes) -> IO[bytes]:
    file = BytesIO(data)
    file.seek(_HEAD)
    return file


def keep_of(repo: git.Repo, complain: Callable[[str], None]) -> Keep:
    """Open what is kept about the book in a repository; books in several folders of one are kept apart."""
    folder = git.CACHE_FOLDER
    if repo.prefix:
        folder += "/" + sha1(os.fsencode(repo.prefix), usedforsecurity=False).hexdigest()[:12]
    return Keep(repo.common_dir, folder, complain)
