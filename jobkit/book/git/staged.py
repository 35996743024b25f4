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


class AskingStaged:
    """Git asked what is staged below a book, and what the whole of its index holds."""

    def __init__(self, repo: Repo) -> None:
        """Ask; raises GitMissingError."""
        self._repo = repo
        below = ("--", repo.prefix) if repo.prefix else ()
        self._diff = self._begin("diff", "--cached", "--raw", "-z", *_PLAIN, *below)
        self._listing = self._begin("ls-files", "-s", "-z", *below)

    def _begin(self, *words: str) -> "subprocess.Popen[bytes]":
        quiet = subprocess.DEVNULL
        return call.start(words, self._repo.top, self._repo.environment(), stdin=quiet, stderr=quiet)

    def changes(self) -> tuple[Change, ...]:
        """Wait for what is staged; paths are relative to the book. Raises GitError."""
        answer, _ = self._diff.communicate()
        if self._diff.returncode:
            # Once more, for its complaint.
            answer = self._repo.ask("diff", "--cached", "--raw", "-z", *_PLAIN)
        words = os.fsdecode(answer).split("\0")[:-1]
        skip = len(self._repo.prefix)
        return tuple(_change(*pair, skip) for pair in zip(words[::2], words[1::2], strict=True))

    def index(self) -> bytes:
        """Wait for the files of the book as `git ls-files -s -z` prints them; nothing where git failed."""
        return self._listing.communicate()[0]


def _change(head: str, path: str, skip: int) -> Change:
    mode_was, mode, was, blob, _ = head[1:].split(" ")
    return Change(path[skip:], _plain(mode_was, was), _plain(mode, blob))


def _plain(mode: str, blob: str) -> str:
    return blob if mode.startswith("100") else ""
