"""An open folder: what is done to a name in it is done in this very folder, and no link leads it elsewhere.

Where the system opens files relative to an open folder (openat(2), POSIX.1-2008), a folder is reached step by step,
each step refusing a link; whatever is renamed meanwhile cannot change which folder is meant. Elsewhere (Windows) each
step is checked instead, which leaves a moment between check and use to whoever changes the folder just then.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Self

from jobkit.book.disk.errors import LARGEST, OutsideError, RefusedError, link, not_plain, too_large
from jobkit.book.disk.swap import swap

_BY_HANDLE = os.open in os.supports_dir_fd and hasattr(os, "O_NOFOLLOW")
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)
_FOLDER = getattr(os, "O_DIRECTORY", 0)
# To pass through a folder needs no permission to list it.
_STEP = getattr(os, "O_PATH", os.O_RDONLY) | _FOLDER
# A named pipe must not keep whoever opens it waiting.
_FILE = _NO_LINK | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)

# What open(2) says of links, folders and sockets, here and on other systems.
_ODD = frozenset((errno.ELOOP, errno.EMLINK, errno.ENOTDIR, errno.EISDIR, errno.ENXIO, errno.EOPNOTSUPP))
_MORE = 1 << 20

_KINDS = {
    stat.S_IFDIR: "a folder",
    stat.S_IFIFO: "a named pipe",
    stat.S_IFSOCK: "a socket",
    stat.S_IFBLK: "a device",
    stat.S_IFCHR: "a device",
}


class Folder:
    """An open folder.

    `place` is where it was opened, `path` names it in messages; every other name is one name, without "/".
    """

    def __init__(self, place: str, path: str, handle: int | None) -> None:
        self.place = place
        self.path = path
        self._handle = handle

    @classmethod
    def at(cls, place: str, path: str = "") -> Self:
        """Open a folder that the person named, wherever its links lead; raises OSError."""
        if _BY_HANDLE:
            return cls(place, path, os.open(place, _STEP))
        if not os.path.isdir(place):  # noqa: PTH112 - text in, text out
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), place)
        return cls(place, path, None)

    def close(self) -> None:
        """Let go of the folder."""
        if self._handle is not None:
            _let_go(self._handle)
            self._handle = None

    def called(self, name: str) -> str:
        """Return what messages call a name in this folder."""
        return f"{self.path}/{name}" if self.path else name

    def enter(self, name: str) -> Folder:
        """Open a folder in this one; raises RefusedError for a link, OSError."""
        place, path = f"{self.place}/{_single(name)}", self.called(name)
        handle = None
        try:
            if _BY_HANDLE:
                handle = os.open(name, _STEP | _NO_LINK, dir_fd=self._handle)
            elif not stat.S_ISDIR(os.lstat(place).st_mode):
                raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR))
        except OSError as error:
            raise self._refused(name, error) from None
        return Folder(place, path, handle)

    def make(self, name: str) -> Folder:
        """Open a folder in this one, a new one where there is none; raises RefusedError for a link, OSError."""
        if self.status(_single(name)) is None:
            with suppress(FileExistsError):  # another process was quicker
                os.mkdir(self._at(name), dir_fd=self._handle)
                self.sync()
        return self.enter(name)

    @contextmanager
    def entered(self, name: str) -> Iterator[Folder]:
        """Open a folder in this one for the length of a block; raises RefusedError for a link, OSError."""
        inner = self.enter(name)
        try:
            yield inner
        finally:
            inner.close()

    def status(self, name: str) -> os.stat_result | None:
        """Return what has a name, of a link the link itself; None where nothing has it. Raises OSError."""
        try:
            return os.stat(self._at(name), dir_fd=self._handle, follow_symlinks=False)
        except FileNotFoundError:
            return None

    def names(self) -> list[tuple[str, bool]]:
        """Return each name in the folder, and whether it is a folder, which a link is not; raises OSError."""
        if self._handle is None:
            with os.scandir(self.place) as entries:
                return [(entry.name, entry.is_dir(follow_symlinks=False)) for entry in entries]
        handle = os.open(".", os.O_RDONLY | _FOLDER, dir_fd=self._handle)
        try:
            with os.scandir(handle) as entries:
                return [(entry.name, entry.is_dir(follow_symlinks=False)) for entry in entries]
        finally:
            _let_go(handle)

    def open_file(self, name: str) -> int:
        """Open a plain file for reading and return its handle; raises RefusedError for anything else, OSError."""
        return self._opened(name, os.O_RDONLY)

    def read(self, name: str, limit: int = LARGEST) -> bytes:
        """Return what a plain file holds; raises RefusedError for anything else and where it is larger, OSError."""
        handle = self.open_file(name)
        try:
            return _content(handle, self.called(name), limit)
        finally:
            _let_go(handle)

    def make_file(self, name: str, mode: int = 0o666) -> int:
        """Make a new file and return its handle for writing; raises FileExistsError for a taken name, OSError."""
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _FILE
        return os.open(self._at(_single(name)), flags, mode, dir_fd=self._handle)

    def open_log(self, name: str) -> int:
        """Open a plain file to append to it, a new one for its owner alone where there is none.

        Raises RefusedError, OSError.
        """
        return self._opened(name, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600)

    def open_lock(self, name: str) -> int:
        """Open a plain file to lock it, a new one where there is none; raises RefusedError, OSError."""
        return self._opened(name, os.O_RDWR | os.O_CREAT)

    def rename(self, name: str, new: str) -> None:
        """Give a file another name, in place of what had that name; raises OSError."""
        here, there = self._at(name), self._at(_single(new))
        os.replace(here, there, src_dir_fd=self._handle, dst_dir_fd=self._handle)

    def swap(self, name: str, other: str) -> bool:
        """Swap the names of two files in one step; return False where the system or the disk cannot. Raises OSError."""
        return swap(self._handle, _single(name), _single(other))

    def link(self, name: str, new: str) -> None:
        """Give a file a second name; raises FileExistsError where that is taken, OSError."""
        here, there = self._at(name), self._at(_single(new))
        os.link(here, there, src_dir_fd=self._handle, dst_dir_fd=self._handle)

    def remove(self, name: str) -> None:
        """Take away a name, if anything has it: a file, or a link itself; raises OSError."""
        with suppress(FileNotFoundError):
            os.unlink(self._at(_single(name)), dir_fd=self._handle)

    def remove_folder(self, name: str) -> None:
        """Take away an empty folder; raises OSError where it is not one."""
        os.rmdir(self._at(_single(name)), dir_fd=self._handle)

    def may_write(self, name: str) -> bool:
        """Tell whether a file may be written to by whoever runs this."""
        effective = os.access in os.supports_effective_ids
        return os.access(self._at(name), os.W_OK, dir_fd=self._handle, effective_ids=effective)

    def sync(self) -> None:
        """Bring names to the disk; where the system cannot, they get there all the same, only later."""
        if self._handle is None:
            return
        with suppress(OSError):
            handle = os.open(".", os.O_RDONLY, dir_fd=self._handle)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)

    def _opened(self, name: str, flags: int, mode: int = 0o666) -> int:
        try:
            place = self._at(_single(name))
            if not _BY_HANDLE and os.path.islink(place):  # noqa: PTH114 - text in, text out
                raise link(self.called(name))
            handle = os.open(place, flags | _FILE, mode, dir_fd=self._handle)
        except OSError as error:
            raise self._refused(name, error) from None
        try:
            self.check_plain(name, os.fstat(handle))
        except BaseException:
            _let_go(handle)
            raise
        return handle

    def _at(self, name: str) -> str:
        return name if _BY_HANDLE else f"{self.place}/{name}"

    def _refused(self, name: str, error: OSError) -> OSError:
        """Return what to raise where a name was not opened; systems say in different ways that it is a link."""
        if error.errno not in _ODD:
            return error
        status = self.status(name)
        return (status and self._odd(name, status)) or error

    def check_plain(self, name: str, status: os.stat_result) -> None:
        """Raise RefusedError where a name, according to its status, means anything but a plain file."""
        odd = self._odd(name, status)
        if odd:
            raise odd

    def _odd(self, name: str, status: os.stat_result) -> RefusedError | None:
        """Return how to refuse what is not a plain file."""
        kind = stat.S_IFMT(status.st_mode)
        if kind == stat.S_IFLNK:
            return link(self.called(name))
        if kind == stat.S_IFREG:
            return None
        return not_plain(self.called(name), _KINDS.get(kind, "not a plain file"))


@contextmanager
def folder_beneath(root: str, path: str, *, called: str = "", make: bool = False) -> Iterator[Folder]:
    """Open the folder at `path` below `root`, with `make` a new one where there is none.

    In messages `path` is behind `called`. Raises RefusedError for a link on the way, OSError.
    """
    folder = Folder.at(root, called)
    try:
        for name in path.split("/") if path else ():
            inner = folder.make(name) if make else folder.enter(name)
            folder.close()
            folder = inner
        yield folder
    finally:
        folder.close()


def _single(name: str) -> str:
    """Return a name that is one step down; raises OutsideError for any other."""
    separators = "/" if _BY_HANDLE else "/\\:"
    if name in {"", ".", ".."} or "\0" in name or any(letter in name for letter in separators):
        raise OutsideError(name)
    return name


def _let_go(handle: int) -> None:
    """Close what was only read: whatever the disk says now, it was read."""
    with suppress(OSError):
        os.close(handle)


def _content(handle: int, path: str, limit: int) -> bytes:
    """Read a file to the end, also where it has grown meanwhile."""
    size = os.fstat(handle).st_size
    if size > limit:
        raise too_large(path, limit)
    content = os.read(handle, size + 1)
    while len(content) != size and (more := os.read(handle, _MORE)):
        content += more
        if len(content) > limit:
            raise too_large(path, limit)
    return content
