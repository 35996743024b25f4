"""Find the job that a person means."""

from __future__ import annotations

from pathlib import PurePosixPath

from jobkit.book.load import OpenBook
from jobkit.units.errors import MisuseError


class NoSuchJobError(MisuseError):
    """No job, or more than one, has the name given."""


def job_path(book: OpenBook, name: str) -> str:
    """Find a job by its id or the shortest tail of it that is unique, such as "47"; raises NoSuchJobError."""
    ids = {PurePosixPath(path).stem: path for path in book.job_paths}
    if name.upper() in ids:
        return ids[name.upper()]
    ends = [one for one in ids if one.upper().endswith(name.upper())]
    if len(ends) == 1:
        return ids[ends[0]]
    if ends:
        raise NoSuchJobError(f'"{name}" could be {_some(sorted(ends))}', "write more of the id")
    raise NoSuchJobError(f'there is no job "{name}" in the {book.shelf.name}', "see `jobkit summarise`")


def _some(names: list[str]) -> str:
    return ", ".join(names[:4]) + (" and others" if len(names) > 4 else "")
