"""A folder as it was, put back quickly: only what has changed since is written again."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple


class _File(NamedTuple):
    content: bytes
    mode: int


_Stamp = tuple[int, int, int]


class Snapshot:
    """The plain files and folders below a folder; a file whose size, time and inode stayed is taken to be the same."""

    def __init__(self, root: Path) -> None:
        self._root = str(root)
        self._folders: set[str] = set()
        self._files: dict[str, _File] = {}
        self._stamps: dict[str, _Stamp] = {}
        for entry in _entries(self._root):
            if entry.is_dir(follow_symlinks=False):
                self._folders.add(entry.path)
            else:
                self._files[entry.path] = _File(Path(entry.path).read_bytes(), entry.stat().st_mode)
                self._stamps[entry.path] = _stamp(entry.stat())

    def changed(self) -> list[str]:
        """Name what is new, gone, or another than it was."""
        seen = {entry.path: entry for entry in _entries(self._root)}
        other = [path for path, entry in seen.items() if not self._is_same(entry)]
        return [*other, *(path for path in (*self._folders, *self._files) if path not in seen)]

    def put_back(self) -> None:
        """Take away what is new, and write again what is gone or another."""
        for path in self.changed():
            if path in self._files:
                self._write(path, self._files[path])
            elif path in self._folders:
                Path(path).mkdir(parents=True, exist_ok=True)
            elif Path(path).is_dir():
                shutil.rmtree(path)
            else:
                Path(path).unlink(missing_ok=True)

    def _is_same(self, entry: os.DirEntry[str]) -> bool:
        if entry.is_dir(follow_symlinks=False):
            return entry.path in self._folders
        return self._stamps.get(entry.path) == _stamp(entry.stat(follow_symlinks=False))

    def _write(self, path: str, file: _File) -> None:
        place = Path(path)
        place.parent.mkdir(parents=True, exist_ok=True)
        place.unlink(missing_ok=True)
        place.write_bytes(file.content)
        place.chmod(file.mode & 0o777)
        self._stamps[path] = _stamp(place.stat())


def _entries(folder: str) -> Iterator[os.DirEntry[str]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            yield entry
            if entry.is_dir(follow_symlinks=False):
                yield from _entries(entry.path)


def _stamp(status: os.stat_result) -> _Stamp:
    return (status.st_size, status.st_mtime_ns, status.st_ino)
