"""Two jobs that took one id, told apart again: after a merge both are in one file, or their files have one name.

One bench never takes the id of another, so this is one bench with two clones, and the next id of its letter is free.
"""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from jobkit.book import git
from jobkit.book.edit import replace_value
from jobkit.book.merge.markers import sides
from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import TomlError, decode, parse_text
from jobkit.jobs.job import Job
from jobkit.jobs.same_job import are_one, marks
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError


class RenumberError(MisuseError):
    """A file holds no two jobs that could be told apart."""


class Two(NamedTuple):
    """The text that keeps the id (None where the file is one job, and moves), and the one that gets another.

    `goes_ours` tells, where git knows of a conflict, whether the one that gets another id is on our side of it.
    """

    stays: str | None
    goes: str
    goes_ours: bool | None = None


def two_jobs(root: Path, path: str, content: bytes) -> Two:
    """Find the two jobs in a file; raises RenumberError where it holds one that both sides changed.

    Where git knows of the conflict, it tells the two sides exactly, and whether they grew from one file. Of the two,
    the one keeps its id that other clones have already: the one on a remote-tracking branch; where that tells
    nothing, in a merge the one that is merged in, else (in a rebase) the one that is rebased upon.
    """
    staged = _staged(root, path)
    if staged is not None:
        return staged
    text = decode(content)
    found = sides(text)
    if found is None:
        return Two(None, _parsed(text, path))
    if not text.lstrip("\ufeff").startswith("<<<<<<<"):
        raise _one_job(path)
    return Two(_parsed(found[0], path), _parsed(found[1], path))


class Conflict(NamedTuple):
    """A file that git could not merge: its content on our side, and on theirs."""

    ours: bytes
    theirs: bytes


def conflict_in(root: Path, path: str) -> Conflict | None:
    """Ask git for the two sides of a file that came on both; None where it knows of no conflict in it.

    Raises RenumberError where the two sides grew from one file, or git does not have both.
    """
    try:
        repo = git.open_repo(root)
        stages = {one.stage: one.blob for one in git.index_entries(repo) if one.path == path and one.stage}
    except git.GitError:
        return None
    if not stages:
        return None
    if 1 in stages or not {2, 3} <= stages.keys():
        raise _one_job(path)
    ours, theirs = git.read_blobs(repo, (stages[2], stages[3]))
    if isinstance(ours, git.Unread) or isinstance(theirs, git.Unread):
        raise RenumberError(f"git does not have both sides of {path}", "resolve the conflict in an editor")
    return Conflict(ours, theirs)


def with_id(text: str, job_id: str) -> str:
    """Give a job another id; all else stays byte for byte."""
    return replace_value(text, ("id",), job_id)


def id_in(text: str, path: str) -> str:
    """Read the id that a job has, or should have by the name of its file."""
    found = parse_text(text).get("id")
    return found if isinstance(found, str) else PurePosixPath(path).stem


def _staged(root: Path, path: str) -> Two | None:
    conflict = conflict_in(root, path)
    if conflict is None:
        return None
    ours, theirs = (_parsed(decode(side), path) for side in conflict)
    goes_ours = _goes_ours(git.open_repo(root), path, conflict)
    return Two(theirs, ours, goes_ours=True) if goes_ours else Two(ours, theirs, goes_ours=False)


def _goes_ours(repo: git.Repo, path: str, conflict: Conflict) -> bool:
    """Tell whether our side is the one that other clones do not have yet."""
    ours, theirs = (load_job(path, side).job for side in conflict)
    contents = git.read_blobs(repo, sorted(git.published_blobs(repo, path)))
    published = [load_job(path, one).job for one in contents if isinstance(one, bytes)]
    ours_is, theirs_is = (any(_is_same(side, one) for one in published) for side in (ours, theirs))
    return theirs_is if ours_is != theirs_is else git.is_merging(repo)


def _is_same(one: Job | None, other: Job | None) -> bool:
    return one is not None and other is not None and are_one(marks(one), marks(other))


def _parsed(text: str, path: str) -> str:
    try:
        parse_text(text)
    except TomlError as error:
        raise RenumberError(
            f"a side of {path} is not TOML (line {error.line}: {error.what})", "fix it in an editor first"
        ) from None
    return text


def _one_job(path: str) -> RenumberError:
    return RenumberError(
        f"{path} is one job, changed on both sides", "resolve the conflict in an editor, then `git add` it"
    )
