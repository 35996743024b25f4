"""What the disk refuses, and what the gate refuses, in words."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Literal

from jobkit.units.errors import MisuseError

_REASONS = {
    errno.ENOSPC: ("the disk is full", "make room and try again"),
    errno.EDQUOT: ("the disk quota is used up", "make room and try again"),
    errno.EFBIG: ("the file may not grow that large", "raise the file size limit"),
    errno.EROFS: ("the disk is read-only", "work in a copy that can be written"),
    errno.EACCES: ("permission is missing", "check the permissions of the file and its folder"),
    errno.EPERM: ("permission is missing", "check the permissions of the file and its folder"),
    errno.ENOENT: ("there is no such file or folder", "check the name"),
    errno.ENOTDIR: ("there is a file in place of its folder", "check the name"),
    errno.EISDIR: ("it is a folder", "check the name"),
    errno.ENAMETOOLONG: ("the name is too long", "choose a shorter one"),
    errno.ELOOP: ("its link points to itself", "fix the link"),
}


class DiskError(MisuseError):
    """A file cannot be read or written; what was there before is untouched."""


class MissingError(DiskError):
    """There is no such file."""


class TakenError(DiskError):
    """A new file cannot be made because its name is taken."""


class ChangedError(DiskError):
    """A file cannot be taken away because it holds more than was put into it."""


class RefusedError(OSError):
    """The gate does not open this: `what` says what it is, `fix` what to do about it."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(errno.EPERM, what)
        self.what = what
        self.fix = fix


class OutsideError(RefusedError):
    """A path that does not lead down from its root."""

    def __init__(self, path: str) -> None:
        what = f"{path!r} does not name a file below the book's folder"
        super().__init__(what, "name a file by its path from there")


def link(path: str) -> RefusedError:
    """Refuse a symbolic link: what it names may be outside the book."""
    return RefusedError(
        f"{path} is a symbolic link, which jobkit does not follow", "replace the link with the file or folder"
    )


def not_plain(path: str, what: str) -> RefusedError:
    """Refuse a folder, a device, a named pipe or a socket in the place of a file."""
    return RefusedError(f"{path} is {what}", "rename it, or replace it with a file")


LARGEST = 16_000_000
"""So many bytes of one file of the book are read, and no more: a job has some ten thousand."""


def too_large(path: str, limit: int = LARGEST) -> RefusedError:
    """Refuse a file of more bytes than are read.

    >>> print(too_large("bench.toml").what)
    bench.toml is larger than 16 MB, and jobkit reads no more of one file
    """
    fix = "keep logs and pictures as files of their own in the folder of the job; save a photo smaller"
    return RefusedError(
        f"{path} is larger than {limit / 1e6:g} MB, and jobkit reads no more of one file",
        fix if limit == LARGEST else "look at what it is",
    )


@contextmanager
def in_words(path: str, doing: Literal["read", "written"]) -> Iterator[None]:
    """Turn what the system or the gate says about a file into a `DiskError`."""
    try:
        yield
    except OSError as error:
        raise worded(error, path, doing) from error


def worded(error: OSError, path: str, doing: Literal["read", "written"]) -> DiskError:
    """Return what the system or the gate says about a file, in words."""
    if isinstance(error, OutsideError):
        error = OutsideError(path)
    if isinstance(error, RefusedError):
        return DiskError(error.what, error.fix)
    if isinstance(error, FileNotFoundError) and doing == "read":
        return MissingError(f"there is no {path}", "check the name")
    if isinstance(error, FileExistsError):
        return TakenError(f"{path} is there already", "choose another name")
    number = error.errno or 0
    reason, fix = _REASONS.get(number, (os.strerror(number), "try again when that is fixed"))
    return DiskError(f"{path} cannot be {doing}: {reason}", fix)
