"""What the next commit changes, and what the index holds, from two processes at once."""

import os
import subprocess
from typing import NamedTuple

from jobkit.book.git import call
from jobkit.book.git.repo import Repo

_PLAIN = ("--no-relative", "--no-ext-diff", "--no-textconv", "-O/dev/null", "--no-renames", "--no-abbrev")


class Change(NamedTuple):
    """One file that the next commit adds, changes or takes away; a blob is "" where there is no plain file."""

    path: str
    was: str
    blob: str


def staged_changes(repo: Repo) -> tuple[tuple[Change, ...], bytes]:
    """Return what is staged below the book, and the whole of its index as `git ls-files -s -z` prints it.

    Paths of the changes are relative to the book. Raises GitError.
    """
    below = ("--", repo.prefix) if repo.prefix else ()
    listing = call.start(
        ("ls-files", "-s", "-z", *below),
        repo.top,
        repo.environment(),
        stdin=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    answer = repo.ask("diff", "--cached", "--raw", "-z", *_PLAIN, *below)
    held, _ = listing.communicate()
    words = os.fsdecode(answer).split("\0")[:-1]
    skip = len(repo.prefix)
    return tuple(_change(*pair, skip) for pair in zip(words[::2], words[1::2], strict=True)), held


def _change(head: str, path: str, skip: int) -> Change:
    mode_was, mode, was, blob, _ = head[1:].split(" ")
    return Change(path[skip:], _plain(mode_was, was), _plain(mode, blob))


def _plain(mode: str, blob: str) -> str:
    return blob if mode.startswith("100") else ""
