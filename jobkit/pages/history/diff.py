"""What changed between two states of a book, as readings and verdicts instead of lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import PurePosixPath

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.forms.data import Data
from jobkit.pages.history.trail import change_data
from jobkit.pages.words import counted
from jobkit.reckon.changes.job_changes import ADDED, CHANGED, REMOVED, Change

_LABELS = {ADDED: "new", CHANGED: "changed", REMOVED: "gone"}


class JobDiff(NamedTuple):
    """What changed in one job; `was_path` only where it was moved."""

    path: str
    title: str
    changes: Sequence[Change]
    was_path: str = ""

    @property
    def id(self) -> str:
        """Name the job."""
        return PurePosixPath(self.path).stem


class OwnDiff(NamedTuple):
    """What changed in one of the bench's own files."""

    path: str
    changes: Sequence[Change]


class Diff(NamedTuple):
    """What changed from one state of the book to another, both named as a person would."""

    before: str
    after: str
    jobs: Sequence[JobDiff]
    own: Sequence[OwnDiff]


def diff_page(diff: Diff) -> Answer:
    """Tell job by job and file by file what is new, what changed and what is gone."""
    rows = [
        (where, what, change.what, change.how, change.words)
        for where, what, changes in (
            *((one.path, one.id, one.changes) for one in diff.jobs),
            *((one.path, "", one.changes) for one in diff.own),
        )
        for change in changes
    ]
    table = Table(("file", "job", "what", "change", "words"), rows)
    return Answer(list(_blocks(diff)), _data(diff), table)


def _blocks(diff: Diff) -> Iterator[Block]:
    yield Title(f"From {diff.before} to {diff.after}", 1)
    if not diff.jobs and not diff.own:
        yield Line("Nothing changed.")
        return
    for job in diff.jobs:
        yield Title(f"{job.id}  {job.title}".rstrip())
        yield _lines(job.changes)
    for file in diff.own:
        yield Title(file.path)
        yield _lines(file.changes)
    told = [counted(len(diff.jobs), "job"), counted(len(diff.own), "other file")]
    yield Line(", ".join(told) + ".")


def _lines(changes: Sequence[Change]) -> Block:
    return Pairs([(_LABELS[change.how], change.words) for change in changes])


def _data(diff: Diff) -> Data:
    return {
        "from": diff.before,
        "to": diff.after,
        "jobs": [
            {
                "job": job.id,
                "title": job.title or None,
                "path": job.path,
                "was_path": job.was_path or None,
                "changes": [change_data(change) for change in job.changes],
            }
            for job in diff.jobs
        ],
        "files": [
            {"path": file.path, "changes": [change_data(change) for change in file.changes]}
            for file in diff.own
        ],
    }
