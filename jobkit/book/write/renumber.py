"""Two jobs that took one id, told apart again: after a merge both are in one file, or their files have one name.

One bench never takes the id of another, so this is one bench with two clones, and the next id of its letter is free.
"""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.edit import replace_value
from jobkit.book.merge.markers import sides
from jobkit.book.toml.parse import TomlError, decode, parse_text
from jobkit.units.errors import MisuseError


class RenumberError(MisuseError):
    """A file holds no two jobs that could be told apart."""


class Two(NamedTuple):
    """The text that keeps the id (None where the file is one job, and moves), and the one that gets another."""

    stays: str | None
    goes: str


def two_jobs(root: Path, path: str, content: bytes) -> Two:
    """Find the two jobs in a file; raises RenumberError where it holds one that both sides changed.

    Where git knows of the conflict, it tells the two sides exactly, and whether they grew from one file.
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


def with_id(text: str, job_id: str) -> str:
    """Give a job another id; all else stays byte for byte."""
    return replace_value(text, ("id",), job_id)


def id_in(text: str, path: str) -> str:
    """Read the id that a job has, or should have by the name of its file."""
    found = parse_text(text).get("id")
    return found if isinstance(found, str) else PurePosixPath(path).stem


def _staged(root: Path, path: str) -> Two | None:
    """Ask git for the two sides of a file that is not merged yet; None where it knows of no conflict in it."""
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
    return Two(_parsed(decode(ours), path), _parsed(decode(theirs), path))


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
