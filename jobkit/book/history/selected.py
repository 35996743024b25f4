"""The jobs that a session names, found again by what they are: after a merge an id may mean another board.

A job is remembered with its client, title, complaint, serial number and day of receipt. Where the file of its id has
another job by now, the one that is meant is looked for among the jobs of its year.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath
from typing import Any

from jobkit.book.disk.errors import DiskError
from jobkit.book.read.load import load_job
from jobkit.book.shelf.opening import ShelfError, Tree
from jobkit.book.write.session import Session, SessionFiles
from jobkit.jobs.job import Job
from jobkit.jobs.same_job import ALIKE, Marks, alikeness, are_one, marks
from jobkit.named_tuple import NamedTuple

_KEPT = 12
"""So many jobs are remembered by what they are, the latest ones."""


class Settled(NamedTuple):
    """A session whose jobs are those that were meant, and what there is to say of it."""

    session: Session
    said: tuple[str, ...] = ()


def settle(root: Path) -> Settled:
    """Read the session of a book, and follow each job that it names to the file where that job is now.

    What is found is remembered; where that cannot be written, the session is right all the same.
    """
    files = SessionFiles(root)
    session = files.read()
    shelf = Tree(root)
    moved, said, known = {}, [], dict(session.known)
    for job_id in dict.fromkeys(filter(None, _named(session))):
        is_now, job = _follow(shelf, job_id, known.get(job_id))
        if job:
            known.pop(is_now, None)
            known[is_now] = marks(job)
        if is_now != job_id:
            moved[job_id] = is_now
            said.append(_said(job_id, is_now))
    if known == dict(session.known) and not moved:
        return Settled(session)
    changes = {**_with_ids(session, moved), "known": _latest(known)}
    with suppress(DiskError):  # the next call finds them again
        files.remember(**changes)
    return Settled(session._replace(**changes), tuple(said))


def as_known(session: Session, job: Job) -> dict[str, Marks]:
    """Give what a session knows of its jobs, this one among them."""
    others = {job_id: one for job_id, one in session.known.items() if job_id != job.id}
    return _latest({**others, job.id: marks(job)})


def _named(session: Session) -> Iterator[str]:
    yield session.job
    yield session.clock.job if session.clock else ""
    yield session.walking.job if session.walking else ""


def _follow(shelf: Tree, job_id: str, was: Marks | None) -> tuple[str, Job | None]:
    """Find the id that a job has now: "" where it is not in the book; the job is None where its file cannot be read."""
    here = [_load(shelf, path) for path in shelf.jobs_named(job_id)]
    if was is None or None in here:
        return job_id, here[0] if here else None
    jobs = [job for job in here if job]
    found = next((job for job in jobs if are_one(was, marks(job))), None) or _elsewhere(shelf, job_id, was)
    # A job whose serial number alone was corrected is still the one that was meant.
    found = found or next((job for job in jobs if alikeness(was, marks(job)) >= ALIKE), None)
    return (PurePosixPath(found.path).stem, found) if found else ("", None)


def _elsewhere(shelf: Tree, job_id: str, was: Marks) -> Job | None:
    """Find the job among those of its bench and year; of several the one most like it."""
    paths = (path for path in shelf.job_paths() if path.rpartition("/")[2][:3] == job_id[:3])
    alike = [job for path in paths if (job := _load(shelf, path)) and are_one(was, marks(job))]
    return max(alike, key=lambda job: alikeness(was, marks(job)), default=None)


def _load(shelf: Tree, path: str) -> Job | None:
    try:
        return load_job(path, shelf.read(path)).job
    except ShelfError:
        return None


def _said(was: str, is_now: str) -> str:
    if is_now:
        return f"the job that was {was} is {is_now} now: {is_now} is selected in its place"
    return f"{was} is another job now, and the one that was selected is not in the book: select one with `jobkit on`"


def _with_ids(session: Session, moved: Mapping[str, str]) -> dict[str, Any]:
    """Give the changes of a session whose jobs have other ids now; one that is gone is neither timed nor walked."""
    changes: dict[str, Any] = {"job": moved.get(session.job, session.job)}
    for key, value in (("clock", session.clock), ("walking", session.walking)):
        if value and value.job in moved:
            changes[key] = value._replace(job=moved[value.job]) if moved[value.job] else None
    return changes


def _latest(known: Mapping[str, Marks]) -> dict[str, Marks]:
    return dict(list(known.items())[-_KEPT:])
