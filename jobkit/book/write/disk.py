"""Files of the book on the disk: written whole or not at all, one writer at a time.

A file is written to a temporary file in the same folder, brought to the disk, and renamed: whoever reads, and whatever
is killed or pulled from the wall, there is the old file or the new one. A symbolic link stays one, its target is
written; permissions stay as they were.

`before` is called when the new text is on the disk and only the rename is left; what it raises comes out, and then the
file stays as it was. Once a file has its new text, nothing that fails afterwards is an error: it is a warning.
"""

import errno
import os
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from jobkit.book.disk.errors import ChangedError, DiskError, in_words
from jobkit.book.toml.parse import TomlError, decode
from jobkit.book.write.write_lock import turn

Before = Callable[[str, str], None]
"""Called with the text as it was ("" where there was no file) and as it will be."""

_TRIES = 5
NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK)
"""What a disk without hard links says of one."""


def no_step(_old: str, _new: str) -> None:
    """Do nothing before a file gets its new text."""


def update(path: Path, edit: Callable[[str], str], before: Before = no_step) -> str:
    """Read a file, hand its text to `edit`, write what comes back, and return that.

    One process at a time: of two that change a file at once, the second edits what the first has written. Where an
    editor saves the file meanwhile, `edit` is called again on the new text; so it must be a pure function. A text that
    comes back as it was is not written.

    Raises `DiskError` where the file cannot be read or written, `TomlError` where it is no UTF-8, and what `edit`
    raises; the file then stays as it was.
    """
    with in_words(str(path), "written"):
        target = _target(path)
        _check_writable(target)
        with turn(_temporary(target)) as file:
            for _ in range(_TRIES):
                seen = target.stat()
                old = _text(path, target.read_bytes())
                new = edit(old)
                if new == old:
                    return new
                _fill(file, new, seen.st_mode)
                if _unchanged(target, seen):
                    before(old, new)
                    _rename(file, _temporary(target), target)
                    return new
    raise DiskError(
        f"{path} cannot be written: another program keeps changing it", "close it there and try again"
    )


def write(path: Path, text: str) -> None:
    """Write a file, new or in place of the old one; its folder must be there. Raises `DiskError`.

    A device or a pipe is written to, and never replaced.
    """
    with in_words(str(path), "written"):
        target = _target(path)
        if target.exists() and not (target.is_file() or target.is_dir()):
            target.write_text(text, encoding="utf-8")
            return
        mode = None
        if target.exists():
            _check_writable(target)
            mode = target.stat().st_mode
        with turn(_temporary(target)) as file:
            _fill(file, text, mode)
            _rename(file, _temporary(target), target)


def create(path: Path, text: str, before: Before = no_step) -> None:
    """Write a new file, and its folders where they are missing; raise `TakenError` where the name is taken.

    Of two processes that want one name at once, one gets it, whole, and the other the error.
    """
    with in_words(str(path), "written"):
        path.parent.mkdir(parents=True, exist_ok=True)
        temporary = _temporary(path)
        with turn(temporary) as file:
            if os.path.lexists(path):
                raise FileExistsError(errno.EEXIST, "", str(path))
            _fill(file, text, None)
            before("", text)
            _name(file, temporary, path)


def remove(path: Path, text: str, before: Before = no_step) -> None:
    """Take away a file that holds `text` and nothing else; raise `ChangedError` where it holds something else."""
    with in_words(str(path), "written"):
        with turn(_temporary(path)):
            if _text(path, path.read_bytes()) != text:
                raise ChangedError(f"{path} was changed after it was created", "remove it by hand")
            before(text, "")
            path.unlink()
        _sync_folder(path.parent)


@contextmanager
def taking_turns(path: Path) -> Iterator[None]:
    """Let one process at a time through, for steps that belong together; `path` names them, and is not made.

    Raises `DiskError` where the folder cannot be written to.
    """
    with in_words(str(path), "written"), turn(_temporary(path)):
        yield


def _temporary(target: Path) -> Path:
    return target.with_name(f".{target.name}.tmp")


def _target(path: Path) -> Path:
    """Follow links to the file itself."""
    try:
        return path.resolve()
    except RuntimeError:  # how Python up to 3.12 says it
        raise OSError(errno.ELOOP, "", str(path)) from None


def _text(path: Path, data: bytes) -> str:
    try:
        return decode(data)
    except TomlError as error:
        raise TomlError(f"{path}: {error.what}", error.mend, error.line, error.column) from None


def _check_writable(target: Path) -> None:
    """Respect a write-protected file, though renaming would get round that."""
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, "", str(target))
    if target.exists() and not os.access(
        target, os.W_OK, effective_ids=os.access in os.supports_effective_ids
    ):
        raise PermissionError(errno.EACCES, "", str(target))


def _fill(file: int, text: str, mode: int | None) -> None:
    """Write a text to an open file, down to the disk."""
    if mode is not None and sys.platform != "win32":
        os.fchmod(file, stat.S_IMODE(mode))
    os.ftruncate(file, 0)
    os.lseek(file, 0, os.SEEK_SET)
    rest = memoryview(text.encode())
    while rest:
        rest = rest[os.write(file, rest) :]
    os.fsync(file)


def _unchanged(target: Path, seen: os.stat_result) -> bool:
    now = target.stat()
    return (now.st_ino, now.st_mtime_ns, now.st_size) == (seen.st_ino, seen.st_mtime_ns, seen.st_size)


def _rename(file: int, temporary: Path, target: Path) -> None:
    if sys.platform == "win32":
        os.close(file)
    temporary.replace(target)
    _sync_folder(target.parent)


def _name(file: int, temporary: Path, path: Path) -> None:
    """Give a new file its name, unless the name is taken."""
    if sys.platform == "win32":
        os.close(file)
        temporary.rename(path)  # refuses a name that is taken
    else:
        try:
            path.hardlink_to(temporary)  # refuses it too
        except OSError as error:
            if error.errno not in NO_LINKS:
                raise
            temporary.rename(path)  # a disk without links; the turn is ours, and the name was free
        _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Bring a rename to the disk; where the system cannot, it is still done, only later."""
    if sys.platform != "win32":
        with suppress(OSError):
            file = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(file)
            finally:
                os.close(file)
