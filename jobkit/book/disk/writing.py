"""A file written beside its name, which it gets when it is whole."""

from __future__ import annotations

import errno
import os
import re
import shutil
import stat
import sys
from collections.abc import Container, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.folder import Folder, folder_beneath
from jobkit.book.disk.named import place_named
from jobkit.book.disk.reading import open_beneath

NO_LINKS = frozenset((errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK))
"""What a disk without hard links says of one."""


_LEFT = re.compile(r"\.(?P<name>.+)\.(?P<process>[0-9]{1,9})\.tmp", re.DOTALL)
"""A temporary file: whose place it was to take, and the process that wrote it."""


@contextmanager
def replacing(
    root: str, path: str, mode: int = 0o666, *, sync: bool = False, tidies: bool = True
) -> Iterator[IO[bytes]]:
    """Give a file to write to, which takes the place of the one at `path` below `root` if the block ends well.

    Missing folders are made. Of two processes the last one wins; whoever reads finds one file or the other, whole.
    With `sync` it is brought down to the disk. Without `tidies` nothing is taken away that a killed process left: for
    a folder of many files, see `remove_leftovers`. Raises OSError, and then the old file is as it was.
    """
    above, _, name = path.rpartition("/")
    with (
        folder_beneath(root, above, make=True) as folder,
        _temporary(folder, name, tidies=tidies) as temporary,
    ):
        with os.fdopen(folder.make_file(temporary, mode), "wb") as file:
            yield file
            if sync:
                file.flush()
                os.fsync(file.fileno())
        folder.rename(temporary, name)
        if sync:
            folder.sync()


def copy_new(root: str, source: str, target: str) -> None:
    """Copy a plain file below `root` under a new name, with its mode and times; missing folders are made.

    Raises TakenError where the name is taken, DiskError.
    """
    above, _, name = target.rpartition("/")
    with (
        in_words(f"{root}/{target}", "written"),
        open_beneath(root, source) as old,
        folder_beneath(root, above, make=True) as folder,
        _temporary(folder, name) as temporary,
    ):
        with os.fdopen(folder.make_file(temporary), "wb") as new:
            shutil.copyfileobj(old, new)
            new.flush()
            _take_over(old.fileno(), new.fileno())
            os.fsync(new.fileno())
        give_name(folder, temporary, name)


def write_new(root: str, path: str, content: bytes) -> None:
    """Write a new file below `root`; missing folders are made. Raises TakenError where the name is taken, DiskError."""
    above, _, name = path.rpartition("/")
    with (
        in_words(f"{root}/{path}", "written"),
        folder_beneath(root, above, make=True) as folder,
        _temporary(folder, name) as temporary,
    ):
        fill(folder, temporary, content, None)
        give_name(folder, temporary, name)


def remove_beneath(root: str, path: str) -> None:
    """Take away a file below `root`, if it is there; raises DiskError."""
    above, _, name = path.rpartition("/")
    with in_words(f"{root}/{path}", "written"), folder_beneath(root, above) as folder:
        folder.remove(name)


def remove_empty_folder(root: str, path: str) -> None:
    """Take away an empty folder below `root`; raises DiskError where it is not there or not empty."""
    above, _, name = path.rpartition("/")
    with in_words(f"{root}/{path}", "written"), folder_beneath(root, above) as folder:
        folder.remove_folder(name)


def write_named(name: str, content: bytes) -> None:
    """Write a file that the person names, whole or not at all, in place of the old one; raises DiskError.

    Its folder must be there. A device or a pipe outside any repository is written to, and never replaced.
    """
    with in_words(name, "written"):
        place = place_named(name)
        if not place.is_inside and _is_stream(name):
            Path(name).write_bytes(content)
            return
        above, _, last = place.path.rpartition("/")
        with folder_beneath(place.root, above) as folder, _temporary(folder, last) as temporary:
            fill(folder, temporary, content, mode_of(folder, last))
            folder.rename(temporary, last)
            folder.sync()


def fill(folder: Folder, name: str, content: bytes, mode: int | None) -> None:
    """Make a file with a content and, where it is given, a mode, down to the disk; raises OSError."""
    handle = folder.make_file(name)
    try:
        if mode is not None and sys.platform != "win32":
            os.fchmod(handle, stat.S_IMODE(mode))
        rest = memoryview(content)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def mode_of(folder: Folder, name: str) -> int | None:
    """Return the mode of a file that is about to be replaced, None where there is none yet.

    Raises RefusedError for what is not a plain file, and PermissionError for a write-protected one, though renaming
    would get round that.
    """
    status = folder.status(name)
    if status is None:
        return None
    folder.check_plain(name, status)
    if not folder.may_write(name):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    return status.st_mode


def give_name(folder: Folder, temporary: str, name: str) -> None:
    """Give a new file its name; raises FileExistsError where that is taken, OSError."""
    if folder.status(name) is not None:
        raise FileExistsError
    try:
        folder.link(temporary, name)
    except OSError as error:
        if error.errno not in NO_LINKS:
            raise
        folder.rename(temporary, name)  # a disk without links; the name was free just now
    folder.sync()


def remove_leftovers(folder: Folder, names: Container[str]) -> None:
    """Take away what processes that were killed left of files with these names; what cannot be taken away stays."""
    with suppress(OSError):
        for name, is_folder in folder.names():
            left = _LEFT.fullmatch(name)
            if left and not is_folder and left["name"] in names and not _is_running(int(left["process"])):
                folder.remove(name)


def _is_running(process: int) -> bool:
    if sys.platform == "win32":
        return True  # to ask there would end it
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


@contextmanager
def _temporary(folder: Folder, name: str, *, tidies: bool = True) -> Iterator[str]:
    """Name a temporary file that no other process has; what is left of it, or of its like, is taken away."""
    temporary = f".{name}.{os.getpid()}.tmp"
    if tidies:
        remove_leftovers(folder, {name})
    folder.remove(temporary)
    try:
        yield temporary
    finally:
        with suppress(OSError):
            folder.remove(temporary)


def _take_over(old: int, new: int) -> None:
    if sys.platform != "win32":
        status = os.fstat(old)
        os.fchmod(new, stat.S_IMODE(status.st_mode))
        os.utime(new, ns=(status.st_atime_ns, status.st_mtime_ns))


def _is_stream(name: str) -> bool:
    """Tell whether a device, a pipe or a socket has the name, be it behind links."""
    try:
        mode = os.stat(name).st_mode  # noqa: PTH116 - /dev/fd/63 leads to what is no path
    except FileNotFoundError:
        return False
    return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)
