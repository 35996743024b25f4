"""A file written beside its name, which it gets when it is whole."""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.folder import Folder, folder_beneath
from jobkit.book.disk.named import place_named


@contextmanager
def replacing(root: str, path: str, mode: int = 0o666) -> Iterator[IO[bytes]]:
    """Give a file to write to, which takes the place of the one at `path` below `root` if the block ends well.

    Missing folders are made. Of two processes the last one wins; whoever reads finds one file or the other, whole.
    Raises OSError, and then the old file is as it was.
    """
    above, _, name = path.rpartition("/")
    temporary = f".{name}.{os.getpid()}.tmp"
    with folder_beneath(root, above, make=True) as folder:
        folder.remove(temporary)
        try:
            with os.fdopen(folder.make_file(temporary, mode), "wb") as file:
                yield file
            folder.rename(temporary, name)
        except BaseException:
            with suppress(OSError):
                folder.remove(temporary)
            raise


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
        temporary = f".{last}.{os.getpid()}.tmp"
        with folder_beneath(place.root, above) as folder:
            mode = mode_of(folder, last)
            try:
                fill(folder, temporary, content, mode)
                folder.rename(temporary, last)
            finally:
                folder.remove(temporary)
            folder.sync()


def fill(folder: Folder, name: str, content: bytes, mode: int | None) -> None:
    """Make a file anew with a content and, where it is given, a mode, down to the disk; raises OSError."""
    folder.remove(name)
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


def _is_stream(name: str) -> bool:
    """Tell whether a device, a pipe or a socket has the name, be it behind links."""
    try:
        mode = os.stat(name).st_mode  # noqa: PTH116 - /dev/fd/63 leads to what is no path
    except FileNotFoundError:
        return False
    return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)
