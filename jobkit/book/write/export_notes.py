"""What an export folder holds: from which contents each year was made, so that a year that did not change stays.

The notes are in the folder itself. They are taken away before the first file is written and come back when all is
written, so that a half-written export is never taken for a whole one.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from contextlib import suppress

from jobkit.book.disk.errors import DiskError, in_words
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.named import Place
from jobkit.book.disk.reading import read_beneath
from jobkit.book.disk.writing import replacing
from jobkit.named_tuple import NamedTuple

_NAME = ".jobkit-export.json"


class Year(NamedTuple):
    """One year as it was exported: a digest of what it was made from, the lines of each table, and its files.

    `files` has the size and the time of change (in nanoseconds) of each file, by its path below the folder.
    """

    digest: str
    lines: Mapping[str, int]
    files: Mapping[str, list[int]]


def read_notes(folder: Place) -> dict[str, Year]:
    """Read the notes by year; none where there are none, or none that can be read."""
    try:
        noted = json.loads(read_beneath(folder.root, f"{folder.path}/{_NAME}"))
        return {
            year: Year(
                str(note["digest"]),
                {str(table): int(count) for table, count in note["lines"].items()},
                {str(path): [int(one) for one in stamp] for path, stamp in note["files"].items()},
            )
            for year, note in noted["years"].items()
        }
    except (DiskError, ValueError, LookupError, TypeError, AttributeError):
        return {}


def forget_notes(folder: Place) -> None:
    """Take the notes away, before anything is written; raises DiskError."""
    with (
        in_words(folder.name, "written"),
        suppress(FileNotFoundError),
        folder_beneath(folder.root, folder.path) as opened,
    ):
        opened.remove(_NAME)


def write_notes(folder: Place, years: Mapping[str, Year]) -> None:
    """Write the notes; raises DiskError."""
    text = json.dumps({"years": {year: note._asdict() for year, note in sorted(years.items())}}, indent=1)
    with in_words(folder.name, "written"), replacing(folder.root, f"{folder.path}/{_NAME}") as file:
        file.write(text.encode())


def stamps(folder: Place, paths: Iterable[str]) -> dict[str, list[int]]:
    """Return size and time of change of each file below the folder; raises DiskError."""
    with in_words(folder.name, "read"):
        return {path: _stamp(folder, path) for path in paths}


def is_as_noted(folder: Place, year: Year) -> bool:
    """Tell whether each file of a year is there, and as it was written."""
    try:
        return all(_stamp(folder, path) == stamp for path, stamp in year.files.items())
    except OSError:
        return False


def _stamp(folder: Place, path: str) -> list[int]:
    above, _, name = path.rpartition("/")
    with folder_beneath(folder.root, f"{folder.path}/{above}".rstrip("/")) as opened:
        status = opened.status(name)
    if status is None:
        raise FileNotFoundError(path)
    return [status.st_size, status.st_mtime_ns]
