"""What the next commit changes, and what the index holds, from two processes at once."""

import os
import subprocess
from functools import cached_property

from jobkit.book.git import call
from jobkit.book.git.listing import RAW
from jobkit.book.git.repo import Repo
from jobkit.named_tuple import NamedTuple

Words = tuple[str, ...]
_DIFF: Words = ("diff", "--cached", *RAW)
_LISTING: Words = ("ls-files", "-s", "-z")


class StagedFile(NamedTuple):
    """One file that the next commit adds, changes or takes away; a blob is "" where there is no plain file.

    `letter` is git's own: A, D, M, T, or U where it is not merged yet; git-diff(1), "RAW OUTPUT FORMAT".
    """

    path: str
    was: str
    blob: str
    letter: str


class StagedQuery:
    """Git asked what is staged below a book, and what the whole of its index holds."""

    def __init__(self, repo: Repo) -> None:
        """Ask nothing yet."""
        self.repo = repo
        self._below = ("--", repo.prefix) if repo.prefix else ()
        self._begun: dict[Words, subprocess.Popen[bytes]] = {}

    def begin(self) -> None:
        """Ask both; raises GitMissingError."""
        quiet = subprocess.DEVNULL
        for words in (_DIFF, _LISTING):
            asked = (*words, *self._below)
            self._begun[words] = call.start(
                asked, self.repo.top, self.repo.environment(), stdin=quiet, stderr=quiet
            )

    def end(self) -> None:
        """Put an end to what was not waited for."""
        for process in self._begun.values():
            process.kill()
            process.communicate()
        self._begun.clear()

    def _answer(self, words: Words) -> bytes:
        begun = self._begun.get(words)
        answer = call.finish(begun, self.repo.top, self.repo.environment())[0] if begun else b""
        self._begun.pop(words, None)  # only now: what is interrupted still has to be ended
        # Once more where git failed, for its complaint.
        return answer if begun and not begun.returncode else self.repo.ask(*words, *self._below)

    @cached_property
    def changes(self) -> tuple[StagedFile, ...]:
        """What is staged; paths are relative to the book. Raises GitError, GitStuckError."""
        words = os.fsdecode(self._answer(_DIFF)).split("\0")[:-1]
        skip = len(self.repo.prefix)
        return tuple(_change(*pair, skip) for pair in zip(words[::2], words[1::2], strict=True))

    @cached_property
    def index(self) -> bytes:
        """The files of the book as `git ls-files -s -z` prints them; raises GitError."""
        return self._answer(_LISTING)


def _change(head: str, path: str, skip: int) -> StagedFile:
    mode_was, mode, was, blob, letter = head[1:].split(" ")
    return StagedFile(path[skip:], _plain(mode_was, was), _plain(mode, blob), letter)


def _plain(mode: str, blob: str) -> str:
    return blob if mode.startswith("100") else ""
