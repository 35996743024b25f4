"""The history of one job: every state that its file was in, read out of git.

A job is followed by what it is: a file was the same job before if client, title, complaint, serial and day of receipt
say so, whatever else has changed.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import PurePosixPath

from jobkit.book import git
from jobkit.book.git.log import Touched, steps
from jobkit.book.history.follow import Passage, TouchingCommit, follow
from jobkit.book.read.load import load_job
from jobkit.jobs.history import CommitChanges, FileChange, JobState
from jobkit.jobs.same_job import ALIKE, likeness


def history(repo: git.Repo, commit: str, path: str) -> list[CommitChanges]:
    """Read the history of the job file at `path` (relative to the book) in `commit`, oldest first; raises GitError."""
    past = _Past(repo)
    stops = list(follow(steps(repo, commit), repo.prefix + path, past))[::-1]
    past.read({blob for stop in stops for one in stop.passages for blob in (one.was, one.blob) if blob})
    return [past.commit_changes(stop) for stop in stops]


def last_path(repo: git.Repo, commit: str, name: str) -> str | None:
    """Find where the job with the id `name`, gone by now, lay last (relative to the book); None if it never did."""
    end = os.fsencode(f"/{name.upper()}.toml")
    prefix = os.fsencode(f"{repo.prefix}jobs/")
    for step in steps(repo, commit):
        for path in step.paths:
            if path.startswith(prefix) and path.endswith(end):
                return os.fsdecode(path[len(os.fsencode(repo.prefix)) :])
    return None


class _Past:
    """The contents of blobs as jobs, each read once."""

    def __init__(self, repo: git.Repo) -> None:
        self._repo = repo
        self._states: dict[str, JobState] = {}

    def read(self, blobs: Iterable[str]) -> None:
        """Read blobs that are not known yet, all in one go."""
        wanted = sorted({*blobs} - {*self._states})
        for blob, content in zip(wanted, git.read_blobs(self._repo, wanted), strict=True):
            job = load_job("", content).job if isinstance(content, bytes) else None
            self._states[blob] = JobState("", blob, job, content is git.Unread.MISSING)

    def is_same(self, was: str, blob: str) -> bool:
        """Tell whether two contents of one name are the same job; one that cannot be read might be any."""
        self.read((was, blob))
        before, after = self._states[was].job, self._states[blob].job
        return before is None or after is None or likeness(before, after) >= ALIKE

    def pick(self, blob: str, candidates: Sequence[Touched]) -> Touched | None:
        """Pick the file that was the same job before: the one most like it."""
        exact = next((one for one in candidates if one.was == blob), None)
        if exact or not candidates:
            return exact
        self.read([blob, *(one.was for one in candidates)])
        best = max(candidates, key=lambda one: self._likeness(one.was, blob))
        return best if self._likeness(best.was, blob) >= ALIKE else None

    def _likeness(self, was: str, blob: str) -> float:
        before, after = self._states[was].job, self._states[blob].job
        return likeness(before, after) if before and after else 0

    def commit_changes(self, stop: TouchingCommit) -> CommitChanges:
        """Put a commit's records together."""
        step = stop.step
        file_changes = tuple(map(self._file_change, stop.passages))
        joins = len(step.parents) > 1
        return CommitChanges(
            step.commit, step.author, step.when, step.subject, file_changes, joins, stop.took_a_side
        )

    def _file_change(self, one: Passage) -> FileChange:
        attached = tuple((file.path, _became(file)) for file in one.attached)
        return FileChange(self._state(one.was_path, one.was), self._state(one.path, one.blob), attached)

    def _state(self, path: str, blob: str) -> JobState | None:
        if not blob:
            return None
        state = self._states[blob]
        job = state.job and state.job._replace(path=path, id=state.job.id or PurePosixPath(path).stem)
        return state._replace(path=path, job=job)


def _became(file: Touched) -> str:
    return "added" if not file.was else "removed" if not file.blob else "changed"
