"""The history of a repository, from one pass over the log: which commit changed which files from what to what.

Nothing is asked for file by file: one process tells all, and whoever listens picks what matters to it.
"""

import os
import re
import subprocess
from collections.abc import Iterator
from functools import cached_property
from tempfile import TemporaryFile

from jobkit.book.git import call
from jobkit.book.git.repo import Repo
from jobkit.named_tuple import NamedTuple

# -m compares a merge with each of its parents, in turn. The rest keeps settings of the repository from changing the
# answer: how commits are written, which are shown, in which order the files come, what is looked up for them.
_WORDS = (
    *("log", "-m", "--raw", "-z", "--format=raw", "--author-date-order", "--root", "--no-renames"),
    *("--no-abbrev", "--no-abbrev-commit", "--encoding=UTF-8", "--no-notes", "--no-color", "--no-decorate"),
    *("--no-relative", "--no-ext-diff", "--no-textconv", "--ignore-submodules=none", "-O/dev/null"),
)

# A header line of git-log(1), "raw": the commit, and with -m the parent it is compared with.
_COMMIT = re.compile(rb"commit ([0-9a-f]+)(?: \(from ([0-9a-f]+)\))?\n")
_PARENT = re.compile(rb"^parent ([0-9a-f]+)$", re.MULTILINE)
_AUTHOR = re.compile(rb"^author (.*?) ?<[^<>\n]*> (-?[0-9]+) [-+][0-9]+$", re.MULTILINE)
_RECORD = re.compile(rb"^:[0-7]{6} [0-7]{6} ", re.MULTILINE)
_PIECE = 1 << 20


class Touched(NamedTuple):
    """One file that a commit changed; a blob is "" where there is no plain file on that side."""

    path: str
    was: str
    blob: str


class CommitStep:
    """A commit compared with one parent: none, or the first, where it has but one.

    `paths` are the changed files as bytes, relative to the top of the repository; the rest is worked out when asked
    for.
    """

    __slots__ = ("__dict__", "_head", "_records", "paths")

    def __init__(self, head: bytes, records: list[bytes], paths: list[bytes]) -> None:
        self._head = head
        self._records = records
        self.paths = paths

    @cached_property
    def _ids(self) -> tuple[str, str]:
        found = _COMMIT.match(self._head)
        assert found, self._head
        return found[1].decode("ascii"), (found[2] or b"").decode("ascii")

    @property
    def commit(self) -> str:
        """The id of the commit."""
        return self._ids[0]

    @cached_property
    def parents(self) -> tuple[str, ...]:
        """The ids of all its parents."""
        return tuple(found.decode("ascii") for found in _PARENT.findall(self._headers))

    @property
    def parent(self) -> str:
        """The parent it is compared with, "" where it has none, or where a merge changed nothing from any."""
        return self._ids[1] or (self.parents[0] if len(self.parents) == 1 else "")

    @property
    def author(self) -> str:
        """Who made the change."""
        found = _AUTHOR.search(self._headers)
        return found[1].decode(errors="replace") if found else ""

    @property
    def when(self) -> int:
        """When the change was made, in seconds since 1970 in UTC."""
        found = _AUTHOR.search(self._headers)
        return int(found[2]) if found else 0

    @property
    def subject(self) -> str:
        """The first line of the message."""
        message = self._head.partition(b"\n\n")[2].strip()
        return message.partition(b"\n")[0].decode(errors="replace").strip()

    def touched(self) -> Iterator[Touched]:
        """Yield the changed files; links and other repositories are no plain files."""
        for record, path in zip(self._records, self.paths, strict=True):
            mode_was, mode, was, blob, _ = record.decode("ascii").split(" ")
            yield Touched(os.fsdecode(path), _plain(mode_was.lstrip(":"), was), _plain(mode, blob))

    @property
    def _headers(self) -> bytes:
        return self._head.partition(b"\n\n")[0]


def _plain(mode: str, blob: str) -> str:
    return blob if mode.startswith("100") else ""


def steps(repo: Repo, commit: str) -> Iterator[CommitStep]:
    """Yield `commit` and all before it, each with what it changed: children before parents, else the latest first.

    A merge comes once for each parent that it differs from, these one after the other. Raises GitError: a clone made
    with --filter=tree:0 has no log of files.
    """
    # Complaints go into a file: a full pipe of them, which nobody reads meanwhile, would halt git.
    with TemporaryFile() as complaints:
        process = call.start(
            [*_WORDS, commit, "--"],
            repo.top,
            repo.environment(),
            stdin=subprocess.DEVNULL,
            stderr=complaints.fileno(),
        )
        try:
            yield from _parsed(_words(process))
            if process.wait():
                complaints.seek(0)
                raise _refused(os.fsdecode(complaints.read()), repo)
        finally:
            process.kill()
            process.wait()
            assert process.stdout is not None
            process.stdout.close()


def _refused(complaint: str, repo: Repo) -> call.GitError:
    error = call.refusal(complaint, "log", repo.top)
    if "promisor" in complaint or "missing" in complaint or "unable to read" in complaint:
        mend = (
            "a clone made with --filter does not have it: get the rest with `git fetch --refetch --no-filter`"
        )
        return call.GitError(error.message, mend)
    return error


def _words(process: "subprocess.Popen[bytes]") -> Iterator[bytes]:
    """Yield what git prints, split at NUL, a megabyte at a time."""
    assert process.stdout is not None
    rest = b""
    while piece := process.stdout.read(_PIECE):
        *whole, rest = (rest + piece).split(b"\0")
        yield from whole
    if rest:
        yield rest


def _parsed(words: Iterator[bytes]) -> Iterator[CommitStep]:
    """Put words together: a commit with its first record, path, record, path …, and an empty word at the end.

    A commit without any record is one word; the lines of a message are indented, so none looks like a record.
    """
    for word in words:
        if not word:
            continue
        first = _RECORD.search(word)
        if first is None:
            yield CommitStep(word, [], [])
            continue
        records, paths = [word[first.start() :]], [next(words)]
        for record in words:
            if not record:
                break
            records.append(record)
            paths.append(next(words))
        yield CommitStep(word[: first.start()], records, paths)
