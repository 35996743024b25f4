"""One writer at a time: the turn to write a file, by a lock on a file beside it that goes when its process does.

A lock on the file itself is lost when the file is replaced; a lock elsewhere (a temporary folder, the git directory) is
missed by a process with another environment, or in a folder without git.

Windows does not take away open files, so there the lock is in the temporary folder. (Type-checked, but never run.)
"""

import os
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

from jobkit.book.disk.folder import Folder
from jobkit.units.errors import LeftUndoneWarning


@contextmanager
def only_warning(folder: Folder, name: str) -> Iterator[None]:
    """Let a last step fail: the file has its new text by now, or the error why it has not is on its way."""
    try:
        yield
    except OSError as error:
        reason = os.strerror(error.errno or 0).lower()
        message = f"the temporary file {folder.called(name)} may be left behind ({reason})"
        warnings.warn(LeftUndoneWarning(message), stacklevel=2)


if sys.platform == "win32":
    import msvcrt
    import tempfile
    from hashlib import sha256
    from pathlib import Path

    @contextmanager
    def turn(folder: Folder, name: str) -> Iterator[None]:
        """Wait for the turn to write a file; raises OSError."""
        place = sha256(f"{folder.place}/{name}".casefold().encode()).hexdigest()[:24]
        lock = os.open(Path(tempfile.gettempdir(), f"jobkit-{place}.lock"), os.O_RDWR | os.O_CREAT)
        try:
            msvcrt.locking(lock, msvcrt.LK_LOCK, 1)
            yield
        finally:
            os.close(lock)

else:
    import fcntl

    @contextmanager
    def turn(folder: Folder, name: str) -> Iterator[None]:
        """Wait for the turn to write a file; raises OSError."""
        lock_name = f".{name}.lock.tmp"
        lock = _locked(folder, lock_name)
        try:
            yield
        finally:
            with only_warning(folder, lock_name):
                if _is_at(lock, folder, lock_name):
                    folder.remove(lock_name)
            with only_warning(folder, lock_name):
                os.close(lock)

    def _locked(folder: Folder, name: str) -> int:
        """Open and lock the file; where the one before us took it away meanwhile, begin again."""
        while True:
            lock = folder.open_lock(name)
            try:
                fcntl.flock(lock, fcntl.LOCK_EX)
                if _is_at(lock, folder, name):
                    return lock
            except BaseException:
                os.close(lock)
                raise
            os.close(lock)

    def _is_at(lock: int, folder: Folder, name: str) -> bool:
        status = folder.status(name)
        return status is not None and os.path.samestat(os.fstat(lock), status)
