"""One writer at a time: the turn to write a file, by a lock on the temporary file that will take its place.

The new text needs a temporary file in the same folder in any case, so that one is the lock as well: nothing else
lies about in the book, a killed writer's leftover is taken over by the next, and the lock goes when its process does.
A lock on the file itself is lost when the file is replaced; a lock elsewhere (a temporary folder, the git directory)
is missed by a process with another environment, or in a folder without git.

Windows does not rename open files, so there the lock lies in the temporary folder. (Type-checked, but never run.)
"""

import os
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from jobkit.units.errors import LeftUndoneWarning


@contextmanager
def _only_warning(temporary: Path) -> Iterator[None]:
    """Let a last step fail: the file has its new text by now, or the error why it has not is on its way."""
    try:
        yield
    except OSError as error:
        message = (
            f"the temporary file {temporary} may be left behind ({os.strerror(error.errno or 0).lower()})"
        )
        warnings.warn(LeftUndoneWarning(message), stacklevel=2)


if sys.platform == "win32":
    import msvcrt
    import tempfile
    from hashlib import sha256

    @contextmanager
    def turn(temporary: Path) -> Iterator[int]:
        """Wait for the turn, give the open, empty temporary file, and take it away in the end if it is left."""
        name = sha256(str(temporary).casefold().encode()).hexdigest()[:24]
        lock = os.open(Path(tempfile.gettempdir(), f"jobkit-{name}.lock"), os.O_RDWR | os.O_CREAT)
        try:
            msvcrt.locking(lock, msvcrt.LK_LOCK, 1)
            file = os.open(temporary, os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_BINARY)
            try:
                yield file
            finally:
                with suppress(OSError):  # closed already, to be renamed
                    os.close(file)
                with _only_warning(temporary):
                    temporary.unlink(missing_ok=True)
        finally:
            os.close(lock)

else:
    import fcntl

    @contextmanager
    def turn(temporary: Path) -> Iterator[int]:
        """Wait for the turn, give the open, empty temporary file, and take it away in the end if it is left."""
        file = _locked(temporary)
        try:
            os.ftruncate(file, 0)
            yield file
        finally:
            with _only_warning(temporary):
                if _is_at(file, temporary):
                    temporary.unlink()
            with _only_warning(temporary):
                os.close(file)

    def _locked(temporary: Path) -> int:
        """Open and lock the temporary file; where the one before us renamed it meanwhile, begin anew."""
        while True:
            file = os.open(temporary, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o666)
            try:
                fcntl.flock(file, fcntl.LOCK_EX)
                if _is_at(file, temporary):
                    if os.fstat(file).st_nlink == 1:
                        return file
                    temporary.unlink()  # left by a process that was killed when the new file had its name already
            except BaseException:
                os.close(file)
                raise
            os.close(file)

    def _is_at(file: int, path: Path) -> bool:
        try:
            return os.path.samestat(os.fstat(file), path.lstat())
        except FileNotFoundError:
            return False
