"""Texts of the book on the disk: written whole or not at all, one writer at a time, through no link.

A text is written to a temporary file in the same folder, brought to the disk, and gets its name in one step: whoever
reads, and whatever is killed or pulled from the wall, there is the old file or the new one. Permissions stay as they
were. A file is named by the root of the book and its path below; the gate opens it (`book.disk`).

An editor that saves while jobkit writes is not overwritten: the new file and the old one swap names, and if what comes
out is not what was read, they are swapped back and the edit is made again. Two gaps remain. Where the system or the
disk cannot swap names (Windows, a network disk, FAT), a save in the microseconds between the last look and the rename
is lost. And an editor that writes into the old file, instead of replacing it, and goes on doing so when that has been
looked at, writes into a file that has no name any more.

`before` is called when the new text is on the disk and only its name is missing; what it raises comes out, and then the
file stays as it was. Once a file has its new text, nothing that fails afterwards is an error: it is a warning.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from jobkit.book.disk.errors import LARGEST, ChangedError, DiskError, RefusedError, in_words, too_large
from jobkit.book.disk.folder import Folder, folder_beneath
from jobkit.book.disk.writing import fill, give_name, mode_of
from jobkit.book.toml.parse import TomlError, decode
from jobkit.book.write.write_lock import only_warning, turn

Before = Callable[[str, str], None]
"""Called with the text as it was ("" where there was no file) and as it will be."""

_TRIES = 5


def no_step(_old: str, _new: str) -> None:
    """Do nothing before a file gets its new text."""


def update(root: Path, path: str, edit: Callable[[str], str], before: Before = no_step) -> str:
    """Read a file, hand its text to `edit`, write what comes back, and return that.

    One process at a time: of two that change a file at once, the second edits what the first has written. Where an
    editor saves the file meanwhile, `edit` and `before` are called again with the new text; so `edit` must be a pure
    function. A text that comes back as it was is not written.

    Raises `DiskError` where the file cannot be read or written, `TomlError` where it is not UTF-8, and what `edit`
    raises; the file then stays as it was.
    """
    with _writing(root, path, make=False) as (folder, name), _temporary(folder, name) as temporary:
        for _ in range(_TRIES):
            data = folder.read(name)
            old = _text(root, path, data)
            new = edit(old)
            if new == old:
                return new
            new_data = _bytes(folder, name, new)
            folder.remove(temporary)
            fill(folder, temporary, new_data, mode_of(folder, name))
            if folder.read(name) != data:
                continue
            before(old, new)
            if _took_the_place(folder, temporary, name, data, new_data):
                folder.sync()
                return new
    raise DiskError(
        f"{root / path} cannot be written: another program keeps changing it", "close it there and try again"
    )


def create(root: Path, path: str, text: str, before: Before = no_step) -> None:
    """Write a new file, and its folders where they are missing; raise `TakenError` where the name is taken.

    Of two processes that want one name at once, one gets it, whole, and the other the error.
    """
    with _writing(root, path, make=True) as (folder, name), _temporary(folder, name) as temporary:
        if folder.status(name) is not None:
            raise FileExistsError
        fill(folder, temporary, _bytes(folder, name, text), None)
        before("", text)
        give_name(folder, temporary, name)


def remove(root: Path, path: str, text: str, before: Before = no_step) -> None:
    """Take away a file that holds `text` and nothing else; raise `ChangedError` where it holds something else."""
    with _writing(root, path, make=False) as (folder, name):
        if _text(root, path, folder.read(name)) != text:
            raise ChangedError(f"{root / path} was changed after it was created", "remove it by hand")
        before(text, "")
        folder.remove(name)
        folder.sync()


def clear_away(root: Path, path: str) -> None:
    """Take away what a process that was killed left beside a file; raises `DiskError`."""
    with _writing(root, path, make=False) as (folder, name), _temporary(folder, name):
        pass


@contextmanager
def taking_turns(root: Path, path: str) -> Iterator[None]:
    """Let one process at a time through, for steps that belong together; `path` names them, and is not made.

    Raises `DiskError` where the folder cannot be written to.
    """
    with _writing(root, path, make=True):
        yield


@contextmanager
def one_at_a_time(root: Path, what: str) -> Iterator[None]:
    """Wait for the turn to do what concerns more than one file of a book; raises DiskError."""
    with _writing(root, what, make=False):
        yield


@contextmanager
def _writing(root: Path, path: str, *, make: bool) -> Iterator[tuple[Folder, str]]:
    """Open the folder of a file, and wait for the turn to write it; what the system says becomes a DiskError."""
    above, _, name = path.rpartition("/")
    with (
        in_words(f"{root / path}", "written"),
        folder_beneath(str(root), above, called=str(root), make=make) as folder,
        turn(folder, name),
    ):
        yield folder, name


@contextmanager
def _temporary(folder: Folder, name: str) -> Iterator[str]:
    """Name a temporary file, and take it away in the end if it is left."""
    temporary = f".{name}.tmp"
    folder.remove(temporary)  # a killed process may have left it
    try:
        yield temporary
    finally:
        with only_warning(folder, temporary):
            folder.remove(temporary)


def _took_the_place(folder: Folder, temporary: str, name: str, old: bytes, new: bytes) -> bool:
    """Give the new file its name; where that now means something other than `old`, undo this and return False."""
    if not folder.swap(temporary, name):
        folder.rename(temporary, name)
        return True
    if not _differs(folder, temporary, old):
        return True
    folder.swap(temporary, name)
    if _differs(folder, temporary, new):
        folder.swap(
            temporary, name
        )  # the editor has saved once more meanwhile: its last save is the one that counts
    return False


def _differs(folder: Folder, name: str, data: bytes) -> bool:
    """Tell whether a name means something else than a file with this content, as far as the disk tells."""
    try:
        return folder.read(name) != data
    except RefusedError:
        return True
    except OSError:
        return False


def _text(root: Path, path: str, data: bytes) -> str:
    try:
        return decode(data)
    except TomlError as error:
        raise TomlError(f"{root / path}: {error.what}", error.mend, error.line, error.column) from None


def _bytes(folder: Folder, name: str, text: str) -> bytes:
    """Write a text as UTF-8; raises RefusedError for one that would not be read again."""
    data = text.encode()
    if len(data) > LARGEST:
        raise too_large(folder.called(name))
    return data
