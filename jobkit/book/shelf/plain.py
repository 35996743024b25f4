"""One plain file of the book read from the disk; nothing is followed, nothing is waited for."""

import os
import stat

from jobkit.units.errors import MisuseError


class ShelfError(MisuseError):
    """A file of the book cannot be read where it should lie."""


_NO_LINKS = getattr(os, "O_NOFOLLOW", 0)
# A pipe named like a job must not keep the reader waiting, nor a link lead it away.
_OPEN = os.O_RDONLY | _NO_LINKS | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def plain_content(where: str, path: str) -> bytes:
    """Return what the file at `where`, called `path` in messages, holds; raises ShelfError where it is none."""
    try:
        if not _NO_LINKS and _is_link(where):
            raise link_error(path)
        return _content(where, path)
    except OSError as error:
        raise (link_error(path) if _is_link(where) else _unreadable(path, error)) from error


def _is_link(where: str) -> bool:
    return os.path.islink(where)  # noqa: PTH114 - there may be a hundred thousand: no Path objects


def _content(where: str, path: str) -> bytes:
    file = os.open(where, _OPEN)
    try:
        told = os.fstat(file)
        if not stat.S_ISREG(told.st_mode):
            what = "a folder" if stat.S_ISDIR(told.st_mode) else "no plain file"
            raise ShelfError(f"{path} is {what}", "rename it, or put a file in its place")
        return _read(file, told.st_size)
    finally:
        os.close(file)


def _read(file: int, size: int) -> bytes:
    """Read a file of this size, or to the end of what it has become meanwhile."""
    content = os.read(file, size + 1)
    while len(content) != size and (more := os.read(file, size + 1)):
        content += more
    return content


def _unreadable(path: str, error: OSError) -> ShelfError:
    if isinstance(error, FileNotFoundError):
        return ShelfError(f"there is no {path} in the book", "check the name")
    return ShelfError(f"{path} cannot be read ({error.strerror})", "mend its permissions, or check the disk")


def link_error(path: str) -> ShelfError:
    """Return the error for a symbolic link: what it names may lie outside the book."""
    return ShelfError(f"{path} is a symbolic link, which jobkit does not follow", "put the file itself there")
