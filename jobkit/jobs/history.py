"""What has become of a job's file over time, as the commits of its book tell it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple


class JobState(NamedTuple):
    """A job's file at one time: where it lay, below the top of the repository, and what it held, under its blob id.

    `job` is None where the content cannot be parsed, or is not in this clone (`missing`).
    """

    path: str
    blob: str
    job: Job | None
    missing: bool = False


class FileChange(NamedTuple):
    """What became of the file between a commit and one of its parents; None where there was, or is, no file.

    `attached` are the files in the job's own folder that came, changed or went, each with what became of it.
    """

    before: JobState | None
    after: JobState | None
    attached: tuple[tuple[str, str], ...] = ()


class CommitChanges(NamedTuple):
    """A commit that touched the job, and how the job differs from that in each parent.

    `when` counts seconds since 1970 in UTC; `subject` is the first line of the message. A commit that `joins` lines of
    work which differ in the job may have settled for one side; one that `took_a_side` left the job as one of its
    parents had it.
    """

    commit: str
    author: str
    when: int
    subject: str
    file_changes: tuple[FileChange, ...]
    joins: bool = False
    took_a_side: bool = False


class OwnFileChange(NamedTuple):
    """One of the bench's own files before and after, as documents: None where it cannot be read.

    `came` and `went` tell that it was not there before, or is not there any more.
    """

    path: str
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    came: bool = False
    went: bool = False
