"""Small files beside a book: the session and the journal.

They are in the git directory of the working tree; outside git in the user's folder for state (XDG Base Directory
Specification, XDG_STATE_HOME), under the name of the book's folder. A git directory may come from a stranger, so no
link is followed there, nothing but a plain file is opened, and no file beyond a size is read.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.disk.errors import DiskError, in_words
from jobkit.book.write.disk import taking_turns, write

_LARGEST = 64_000_000
_OPEN = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


class StateFile(NamedTuple):
    """Where a file is, and whether its folder may come from a stranger."""

    path: Path
    in_git: bool

    def size(self) -> int:
        """Return its size in bytes, 0 where it is missing; raises DiskError."""
        with in_words(str(self.path), "read"):
            try:
                return self.path.lstat().st_size
            except FileNotFoundError:
                return 0


def state_file(root: Path, name: str, suffix: str) -> StateFile:
    """Find a file of the book at `root`, whose name no other book has."""
    name = f"{name}-{sha256(os.fsencode(os.path.realpath(root))).hexdigest()[:12]}{suffix}"
    try:
        return StateFile(Path(git.open_repo(root).git_dir) / "jobkit" / name, in_git=True)
    except git.GitError:
        home = os.environ.get("XDG_STATE_HOME", "")
        state = Path(home) if home.startswith("/") else Path.home() / ".local" / "state"
        return StateFile(state / "jobkit" / name, in_git=False)


def read_state(file: StateFile) -> bytes:
    """Return the content, b"" where the file is missing; raises DiskError."""
    with in_words(str(file.path), "read"):
        _refuse_links(file)
        try:
            handle = os.open(file.path, os.O_RDONLY | _OPEN)
        except FileNotFoundError:
            return b""
        with os.fdopen(handle, "rb") as opened:
            _refuse_others(file, os.fstat(handle))
            return opened.read()


def replace_state(file: StateFile, change: Callable[[bytes], bytes]) -> None:
    """Write what `change` makes of the content, whole or not at all; raises DiskError."""
    with alone_with(file):
        write(file.path, change(read_state(file)).decode())


def append_line(file: StateFile, line: str) -> None:
    """Append a line, down to the disk; raises DiskError. A line that was cut off before stays one line."""
    with alone_with(file):
        handle = os.open(file.path, os.O_RDWR | os.O_APPEND | os.O_CREAT | _OPEN, 0o600)
        try:
            found = os.fstat(handle)
            _refuse_others(file, found)
            _append(handle, found.st_size, f"{line}\n".encode())
        finally:
            os.close(handle)


def _append(handle: int, size: int, line: bytes) -> None:
    if size:
        os.lseek(handle, size - 1, os.SEEK_SET)
        line = line if os.read(handle, 1) == b"\n" else b"\n" + line
    try:
        rest = memoryview(line)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    except OSError:
        with suppress(OSError):  # a cut line is passed over by whoever reads
            os.ftruncate(handle, size)
        raise


@contextmanager
def alone_with(file: StateFile) -> Iterator[None]:
    """Let one process at a time write a file; its folder is made. Raises DiskError."""
    with in_words(str(file.path), "written"):
        _refuse_links(file)
        file.path.parent.mkdir(parents=True, exist_ok=True)
        with taking_turns(file.path.with_suffix(".turn")):
            yield


def _refuse_links(file: StateFile) -> None:
    for place in (file.path.parent, file.path) if file.in_git else (file.path,):
        if place.is_symlink():
            raise _not_ours(place)


def _refuse_others(file: StateFile, found: os.stat_result) -> None:
    if not stat.S_ISREG(found.st_mode):
        raise _not_ours(file.path)
    if found.st_size > _LARGEST:
        raise DiskError(f"{file.path} is too large to be read", "delete it: nothing of the book is in it")


def _not_ours(path: Path) -> DiskError:
    return DiskError(f"{path} is not as jobkit makes it", "delete it: nothing of the book is in it")
