"""One folder of kept answers: each a file that is whole or not there, made by this very code, or it does not count."""

from __future__ import annotations

import errno
import os
import zlib
from collections.abc import Callable, Iterable
from contextlib import suppress
from hashlib import sha1
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from jobkit.book import git
from jobkit.book.cache.code import code_digest
from jobkit.book.cache.frames import piece_of, pieces_in

_MAGIC = b"jobkit kept 1\n"
_HEAD = len(_MAGIC) + 20 + 4
_ABSENT = {errno.ENOENT, errno.ENOTDIR}

_WHY = {
    errno.EACCES: "permission is missing",
    errno.EPERM: "permission is missing",
    errno.EROFS: "the disk is read-only",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
}


class Keep:
    """Where the answers about one book are kept.

    Trouble with it never stops anything: it is told to `complain`, one line a call at most, and the answer is worked
    out anew.
    """

    def __init__(self, folder: Path, complain: Callable[[str], None]) -> None:
        self._folder = folder
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
        path = self._folder / name
        try:
            data = path.read_bytes()
        except OSError as error:
            if error.errno not in _ABSENT:
                self._say(f"what was kept in {path} cannot be read ({_why(error)}), so this took longer")
            return []
        return self._opened(path, data)

    def _opened(self, path: Path, data: bytes) -> list[Any]:
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
        path = self._folder / name
        # A name of its own for each process, so that two never write into one file.
        temporary = self._folder / f".{name}.{os.getpid()}"
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            try:
                with temporary.open("wb") as file:
                    _write(file, parts)
                temporary.replace(path)
            except BaseException:
                with suppress(OSError):
                    temporary.unlink()
                raise
        except OSError as error:
            self._say(f"nothing can be kept in {self._folder} ({_why(error)}), so every call takes longer")

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
    folder = git.cache_folder(repo)
    if repo.prefix:
        mark = sha1(os.fsencode(repo.prefix), usedforsecurity=False).hexdigest()[:12]
        folder = Path(folder, mark)
    return Keep(folder, complain)


def _why(error: OSError) -> str:
    return _WHY.get(error.errno or 0, error.strerror or "for no reason given")
