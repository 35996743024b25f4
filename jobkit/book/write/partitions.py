"""Tables written in parts, one file a part: each whole or not at all, and none left that has become stale."""

from __future__ import annotations

import os
import re
from contextlib import ExitStack, suppress
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from jobkit.units.errors import MisuseError


class ExportError(MisuseError):
    """A folder cannot be written to."""


class Partitions:
    """The files of one part of several tables, such as `readings/year=2026/readings.jsonl`.

    Lines are written to the disk as they come. A table to which no line came has no file.
    """

    def __init__(self, folder: Path, part: str) -> None:
        self._folder = folder
        self._part = part
        self._files: dict[str, IO[str]] = {}
        self.lines: dict[str, int] = {}

    def add(self, table: str, line: str) -> None:
        """Add a line to a table; raises ExportError."""
        try:
            if table not in self._files:
                place = place_of(self._folder, table, self._part)
                place.parent.mkdir(parents=True, exist_ok=True)
                self._files[table] = _temporary(place).open("w", encoding="utf-8", newline="\n")
            self._files[table].write(line)
        except OSError as error:
            raise _unwritable(self._folder, error) from error
        self.lines[table] = self.lines.get(table, 0) + 1

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Put every file in its place, or, where something went wrong, take away what was begun."""
        with ExitStack() as closing:
            for file in self._files.values():
                closing.callback(file.close)
        for table in self._files:
            place = place_of(self._folder, table, self._part)
            if kind is None:
                try:
                    _temporary(place).replace(place)
                except OSError as trouble:
                    raise _unwritable(self._folder, trouble) from trouble
            else:
                with suppress(OSError):
                    _temporary(place).unlink()


def place_of(folder: Path, table: str, part: str) -> Path:
    """Name the file of one part of a table: folders named key=value are read as columns by many engines."""
    return folder / table / f"year={part}" / f"{table}.jsonl"


def _temporary(place: Path) -> Path:
    return place.with_name(f".{place.name}.{os.getpid()}")


_LEFT = re.compile(r"\.(\w+)\.jsonl\.[0-9]+")


def remove_stale(folder: Path, written: dict[str, set[str]]) -> int:
    """Take away files of tables whose part was not `written` this time, and say how many; raises ExportError.

    Only files with names of ours are touched.
    """
    stale = [
        place
        for table, parts in written.items()
        for place in sorted((folder / table).glob("year=*/*"))
        if place.is_file()
        and (
            (place.name == f"{table}.jsonl" and place.parent.name.removeprefix("year=") not in parts)
            or ((left := _LEFT.fullmatch(place.name)) and left[1] == table)
        )
    ]
    try:
        for place in stale:
            place.unlink()
            with suppress(OSError):
                place.parent.rmdir()
    except OSError as error:
        raise _unwritable(folder, error) from error
    return len(stale)


def _unwritable(folder: Path, error: OSError) -> ExportError:
    return ExportError(
        f"{folder} cannot be written to ({error.strerror})", "fix its permissions, or name another folder"
    )
