"""A new job file: the next free id, the text, and the making of the file, which no two processes can do at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

from jobkit.book.disk.errors import TakenError
from jobkit.book.edit.written import block
from jobkit.book.schema.gate import check
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.job_folder import job_file

_PATH = re.compile(r"jobs/[^/]+/([A-Z][0-9]{2}-[0-9]{4,6})(?:\.toml|/.*)")
_LEAST: Mapping[str, Any] = {
    "format": 1,
    "id": "A00-0001",
    "client": "c-1",
    "title": "?",
    "board": {"kind": "?"},
    "intake": {"complaint": "?"},
    "dates": {"received": "2000-01-01"},
}
"""The least that a job file must say."""

MOST = 999_999
"""The ids of one bench and year end there."""


def next_id(paths: Iterable[str], letter: str, year: int) -> str:
    """Give the id behind the last one that a bench has taken in a year, by a job file or a folder of attachments.

    >>> next_id(["jobs/2026/K26-0009.toml", "jobs/2026/M26-0030.toml"], "K", 2026)
    'K26-0010'
    """
    start = f"{letter}{year % 100:02d}-"
    taken = [found[1] for path in paths if (found := _PATH.fullmatch(path)) and found[1].startswith(start)]
    return f"{start}{max((int(one[4:]) for one in taken), default=0) + 1:04d}"


def after(job_id: str) -> str:
    """Give the id behind another."""
    return f"{job_id[:4]}{int(job_id[4:]) + 1:04d}"


def text_of(job_id: str, values: Mapping[str, Any]) -> str:
    """Write a job file: what is at the top, then a block for each table that has anything to say."""
    top = {"format": 1, "id": job_id, **{key: value for key, value in values.items() if _is_plain(value)}}
    lines = ["#:schema ../../schema/job.schema.json", *block((), top, listed=False, lined_up=True)[1:]]
    for name, table in values.items():
        if not _is_plain(table) and table:
            lines += ["", *block((name,), table, listed=False, lined_up=True)]
    return "\n".join(lines) + "\n"


def make_job(first: str, text: Callable[[str], str], make: Callable[[str, str], None]) -> str:
    """Make the file of a new job under the first free id from `first` on, and return the id.

    `make` takes a path and a text, and raises TakenError where the name is taken. Raises DiskError; TakenError only
    where no id is left.
    """
    job_id = first
    while True:
        try:
            make(job_file(job_id), text(job_id))
        except TakenError:
            if int(job_id[4:]) >= MOST:
                raise
            job_id = after(job_id)
        else:
            return job_id


def trouble_with(path: tuple[str, ...], value: object) -> Trouble | None:
    """Tell what the schema has against a value at a place of a new job file, if anything."""
    doc: dict[str, Any] = {key: dict(one) if isinstance(one, dict) else one for key, one in _LEAST.items()}
    node = doc
    for name in path[:-1]:
        node = node.setdefault(name, {})
    node[path[-1]] = value.isoformat() if isinstance(value, date) else value
    return next((one for one in check("job", doc) if one.place[: len(path)] == path), None)


def _is_plain(value: object) -> bool:
    return not isinstance(value, Mapping)
