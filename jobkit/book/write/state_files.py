"""Small files beside a book: the session and the journal.

They are in the git directory of the working tree; outside git in the user's folder for state (XDG Base Directory
Specification, XDG_STATE_HOME), under the name of the book's folder. A git directory may come from a stranger, so no
link is followed there, nothing but a plain file is opened, and no file beyond a size is read.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path

from jobkit.book import git
from jobkit.book.disk.errors import MissingError, in_words
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.reading import read_beneath
from jobkit.book.disk.writing import replacing
from jobkit.book.write.disk import taking_turns
from jobkit.named_tuple import NamedTuple

_LARGEST = 64_000_000


class StateFile(NamedTuple):
    """Where a file is: a folder that is the person's or git's own, and the path below it."""

    root: Path
    path: str

    def size(self) -> int:
        """Return its size in bytes, 0 where it is missing; raises DiskError."""
        folder, _, name = self.path.rpartition("/")
        with in_words(str(self.root / self.path), "read"), suppress(FileNotFoundError):
            with folder_beneath(str(self.root), folder) as opened:
                status = opened.status(name)
            return status.st_size if status else 0
        return 0


def state_file(root: Path, name: str, suffix: str) -> StateFile:
    """Find a file of the book at `root`, whose name no other book has."""
    name = f"jobkit/{name}-{sha256(os.fsencode(os.path.realpath(root))).hexdigest()[:12]}{suffix}"
    try:
        return StateFile(Path(git.open_repo(root).git_dir), name)
    except git.GitError:
        home = os.environ.get("XDG_STATE_HOME", "")
        return StateFile(Path(home) if home.startswith("/") else Path.home() / ".local" / "state", name)


def read_state(file: StateFile) -> bytes:
    """Return the content, b"" where the file is missing; raises DiskError."""
    try:
        return read_beneath(str(file.root), file.path, _LARGEST)
    except MissingError:
        return b""


def replace_state(file: StateFile, change: Callable[[bytes], bytes]) -> None:
    """Write what `change` makes of the content, whole or not at all; raises DiskError."""
    with alone_with(file):
        content = change(read_state(file))
        with replacing(str(file.root), file.path, 0o600, sync=True) as new:
            new.write(content)


def append_line(file: StateFile, line: str) -> None:
    """Append a line, down to the disk; raises DiskError. A line that was cut off before stays one line."""
    folder, _, name = file.path.rpartition("/")
    with alone_with(file), folder_beneath(str(file.root), folder) as opened:
        handle = opened.open_log(name)
        try:
            _append(handle, os.fstat(handle).st_size, f"{line}\n".encode())
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
    with in_words(str(file.root / file.path), "written"):
        file.root.mkdir(parents=True, exist_ok=True)
        with taking_turns(file.root, f"{file.path}.turn"):
            yield
