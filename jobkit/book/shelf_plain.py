"""One plain file of the book read from the disk; nothing is followed, nothing is waited for."""

import os
import stat

from jobkit.units.errors import MisuseError


class ShelfError(MisuseError):
    """A file of the book cannot be read where it should lie."""


# A pipe named like a job must not keep the reader waiting, nor a link lead it away.
_OPEN = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def _open_plain(where: str, _flags: int) -> int:
    return os.open(where, _OPEN)


def plain_content(where: str, path: str) -> bytes:
    """Return what the file at `where`, called `path` in messages, holds; raises ShelfError where it is none."""
    try:
        return _content(where, path)
    except OSError as error:
        raise _unreadable(path, error) from error


def _content(where: str, path: str) -> bytes:
    if os.path.islink(where):  # noqa: PTH114 - a hundred thousand times, Path objects cost more than reading
        raise link_error(path)
    with open(where, "rb", buffering=0, opener=_open_plain) as file:
        if stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            return file.read()
    raise ShelfError(f"{path} is no plain file", "rename it, or put a file in its place")


def _unreadable(path: str, error: OSError) -> ShelfError:
    if isinstance(error, FileNotFoundError):
        return ShelfError(f"there is no {path} in the book", "check the name")
    if isinstance(error, IsADirectoryError):
        return ShelfError(f"{path} is a folder", "rename it, or put a file in its place")
    return ShelfError(f"{path} cannot be read ({error.strerror})", "mend its permissions, or check the disk")


def link_error(path: str) -> ShelfError:
    """Return the error for a symbolic link: what it names may lie outside the book."""
    return ShelfError(f"{path} is a symbolic link, which jobkit does not follow", "put the file itself there")
