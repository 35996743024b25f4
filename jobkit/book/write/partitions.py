"""Tables written in parts, one file a part: each whole or not at all, and none left that has become stale."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, suppress
from types import TracebackType
from typing import IO, Self

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.folder import Folder, folder_beneath
from jobkit.book.disk.named import Place
from jobkit.book.disk.writing import replacing


class Partitions:
    """The files of one part of several tables, such as `readings/year=2026/readings.jsonl`.

    Lines are written to the disk as they come. A table to which no line came has no file. Any step raises DiskError.
    """

    def __init__(self, folder: Place, part: str) -> None:
        self._folder = folder
        self._part = part
        self._open = ExitStack()
        self._files: dict[str, IO[bytes]] = {}
        self.lines: dict[str, int] = {}

    def add(self, table: str, line: str) -> None:
        """Add a line to a table."""
        with in_words(self._folder.name, "written"):
            if table not in self._files:
                path = f"{self._folder.path}/{_part_of(table, self._part)}/{table}.jsonl"
                self._files[table] = self._open.enter_context(replacing(self._folder.root, path))
            self._files[table].write(line.encode())
        self.lines[table] = self.lines.get(table, 0) + 1

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Put every file in its place, or, where something went wrong, take away what was begun."""
        with in_words(self._folder.name, "written"):
            self._open.__exit__(kind, error, trace)


def _part_of(table: str, part: str) -> str:
    """Return the folder of one part of a table: folders named key=value are read as columns by many engines."""
    return f"{table}/year={part}"


def remove_stale(folder: Place, written: Mapping[str, set[str]]) -> int:
    """Take away files of tables whose part was not `written` this time, and return how many; raises DiskError.

    Only files with names of ours are touched.
    """
    with in_words(folder.name, "written"):
        return sum(_remove_stale_of(folder, table, parts) for table, parts in written.items())


def _remove_stale_of(folder: Place, table: str, parts: set[str]) -> int:
    count = 0
    with suppress(FileNotFoundError), folder_beneath(folder.root, f"{folder.path}/{table}") as opened:
        for name, is_folder in opened.names():
            if is_folder and name.startswith("year="):
                count += _clear(opened, name, table, keep=name.removeprefix("year=") in parts)
    return count


def _clear(tables: Folder, name: str, table: str, *, keep: bool) -> int:
    """Take what is stale out of a part, and the part itself if nothing is left; return how many files those were."""
    stale = []
    with tables.entered(name) as part:
        stale = [*_stale(part, table, keep=keep)]
        for one in stale:
            part.remove(one)
    if stale:
        with suppress(OSError):  # something else is in it
            tables.remove_folder(name)
    return len(stale)


def _stale(part: Folder, table: str, *, keep: bool) -> Iterator[str]:
    """Yield the file of a part that is gone, and what a killed run left behind."""
    left = re.compile(rf"\.{table}\.jsonl\.[0-9]+\.tmp")
    for name, is_folder in part.names():
        if not is_folder and (left.fullmatch(name) or (name == f"{table}.jsonl" and not keep)):
            yield name
