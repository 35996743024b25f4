"""Tables written in parts, one file a part: each whole or not at all, and none left that has become stale."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.folder import Folder, folder_beneath
from jobkit.book.disk.named import Place
from jobkit.book.disk.writing import replacing

SUFFIXES = ("jsonl", "parquet")
"""The ends of the names of files that are ours; a folder holds one form."""


def path_of(table: str, part: str, suffix: str) -> str:
    """Return the file of a part below the folder: many engines read folders named key=value as columns."""
    return f"{table}/year={part}/{table}.{suffix}"


def write_part(folder: Place, path: str, content: bytes) -> None:
    """Write the file of a part, whole or not at all; raises DiskError."""
    with in_words(folder.name, "written"), replacing(folder.root, f"{folder.path}/{path}") as file:
        file.write(content)


def write_beside(folder: Place, name: str, content: bytes) -> None:
    """Write a file beside the tables, unless it is there as it should be; raises DiskError."""
    path = f"{folder.path}/{name}"
    with in_words(folder.name, "written"):
        with suppress(OSError), folder_beneath(folder.root, folder.path) as opened:
            if opened.read(name) == content:
                return
        with replacing(folder.root, path) as file:
            file.write(content)


def remove_stale(folder: Place, written: Mapping[str, set[str]], suffix: str) -> int:
    """Take away files of tables whose part was not `written` with `suffix`, and return how many; raises DiskError.

    Only files with names of ours are touched.
    """
    with in_words(folder.name, "written"):
        return sum(_remove_stale_of(folder, table, parts, suffix) for table, parts in written.items())


def _remove_stale_of(folder: Place, table: str, parts: set[str], suffix: str) -> int:
    count = 0
    with suppress(FileNotFoundError), folder_beneath(folder.root, f"{folder.path}/{table}") as opened:
        for name, is_folder in opened.names():
            if is_folder and name.startswith("year="):
                kept = f"{table}.{suffix}" if name.removeprefix("year=") in parts else ""
                count += _clear(opened, name, table, kept)
    return count


def _clear(tables: Folder, name: str, table: str, kept: str) -> int:
    """Take what is stale out of a part, and the part itself if nothing is left; return how many files those were."""
    stale = []
    with tables.entered(name) as part:
        stale = [*_stale(part, table, kept)]
        for one in stale:
            part.remove(one)
    if stale:
        with suppress(OSError):  # something else is in it
            tables.remove_folder(name)
    return len(stale)


def _stale(part: Folder, table: str, kept: str) -> Iterator[str]:
    """Yield the files of a part that are gone, and what a killed run left behind."""
    ours = {f"{table}.{suffix}" for suffix in SUFFIXES} - {kept}
    left = re.compile(rf"\.{table}\.({'|'.join(SUFFIXES)})\.[0-9]+\.tmp")
    for name, is_folder in part.names():
        if not is_folder and (left.fullmatch(name) or name in ours):
            yield name
