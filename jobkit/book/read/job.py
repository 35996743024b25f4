"""Read a job file as far as it can be read."""

from __future__ import annotations

from pathlib import PurePosixPath

from jobkit.book.read.named_after_file import named_after_file
from jobkit.book.read.tables import Shape, Tables
from jobkit.book.schema.gate import Doc, check
from jobkit.book.schema.prune import pruned
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.job import Job
from jobkit.jobs.sorts import ROWS
from jobkit.named_tuple import NamedTuple

_TABLES = Tables(
    "job", {(): Shape(Job), **{row.path: Shape(row.record, row.field, row.names) for row in ROWS}}
)


class ReadJob(NamedTuple):
    """A job and what could not be read of it."""

    job: Job
    troubles: tuple[Trouble, ...]


def read_job(path: str, doc: Doc) -> ReadJob:
    """Read the document of the job file at `path`: total, whatever is in it."""
    refused = check("job", doc)
    troubles = named_after_file("job", path, refused)
    if refused:
        doc = pruned("job", doc, [place for trouble in refused for place in trouble.places])
    job: Job = _TABLES.record((), doc, (), troubles, path=path, id=PurePosixPath(path).stem)
    broken = frozenset(trouble.place for trouble in troubles)
    return ReadJob(job._replace(broken=broken) if broken else job, tuple(troubles))
