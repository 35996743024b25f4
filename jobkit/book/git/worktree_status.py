"""How the working tree stands to the index, without reading a file: asked of several git processes at once.

Git remembers size, times and inode of every file it has seen, and says which files may have changed since. What it
says can be taken for the content of a file only where nothing converts contents on their way in or out, and where git
looks at all it can: `WorktreeStatus.trusted` tells.
"""

import os
import re
import subprocess
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cached_property, partial
from pathlib import Path

from jobkit.book.disk.errors import DiskError, MissingError
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.reading import read_beneath, read_plain
from jobkit.book.git import call
from jobkit.book.git.listing import ChangedFile, changed_files, staged_files
from jobkit.book.git.repo import Repo
from jobkit.named_tuple import NamedTuple


class WorktreeStatus(NamedTuple):
    """The files of the book as the index has them, and where the working tree may differ.

    `listing` is what `git ls-files -s -v -z` prints: tag, mode, blob, stage and path of every file (paths here have the
    book's prefix). `changed` are tracked files that are gone or may have changed, relative to the book; `others` what
    is below jobs/ and is not in the index, a folder with nothing tracked in it as one name with "/" at the end.
    """

    listing: bytes
    changed: frozenset[str]
    others: tuple[str, ...]
    trusted: bool


_SETTINGS = (
    r"^(filter\..*\.(clean|smudge|process|required)|attr\.tree"
    r"|core\.(autocrlf|eol|trustctime|checkstat|ignorecase|precomposeunicode|attributesfile))$"
)

# Settings with which a file may differ from its blob, or change without git's notice, or have another name on the disk.
_CONVERTING = {"core.autocrlf", "core.ignorecase", "core.precomposeunicode"}
_AWAY = {"core.eol", "attr.tree"}

_CHANGES = ("--raw", "-z", "--no-renames", "--no-abbrev", "--ignore-submodules=none", "-O/dev/null")

_CONVERTED = re.compile(rb"(?<![-!\w])(?:text|eol|crlf|filter|ident|working-tree-encoding)\b")
"""Attributes that make git convert contents; see gitattributes(5)."""


class WorktreeQuery:
    """Questions put to git that are being answered; each answer is waited for when it is first needed.

    Whoever waits may get a GitStuckError.
    Which files may have changed is known sooner than which are new: git has to look into every folder for those.
    """

    def __init__(self, repo: Repo) -> None:
        """Put them; raises GitMissingError."""
        self.repo = repo
        self._begun: list[subprocess.Popen[bytes]] = []
        below = ("--", repo.prefix) if repo.prefix else ()
        # Of all settings git is told where to look by its own rules, so this has no open wait.
        settings = self._begin("config", "-z", "--get-regexp", _SETTINGS)
        # What takes longest comes first.
        self._others = self._begin("ls-files", "-o", "--directory", "-z", "--", f"{repo.prefix}jobs")
        self._listing = self._begin("ls-files", "-s", "-v", "-z", *below)
        self._settings = dict(_settings(self._ended(settings) or b""))
        filters_off = _without_filters(self._settings)
        self._changes = self._begin("diff-files", *_CHANGES, *below, extra=filters_off)
        self._head: subprocess.Popen[bytes] | None = None

    def ask_head(self) -> None:
        """Ask which commit is the last, too, so that `head` has to wait for nothing else."""
        self._head = self._head or self._begin("rev-parse", "--verify", "--quiet", "HEAD^{commit}")

    @cached_property
    def listing(self) -> bytes | None:
        """All files of the index, as in `WorktreeStatus`; None where git failed, or where that tells too little."""
        listing = self._ended(self._listing)
        return None if listing is None or _is_odd(listing) else listing

    @cached_property
    def changes(self) -> tuple[ChangedFile, ...] | None:
        """The files in which the working tree may differ from the index, as that has them; None where git failed."""
        listing = self._ended(self._changes)
        return None if listing is None else changed_files(self.repo, listing)

    @cached_property
    def changed(self) -> frozenset[str] | None:
        """Tracked files that are gone or may have changed; None where git failed."""
        if self.listing is None or self.changes is None:
            return None
        return frozenset((*(one.path for one in self.changes), *self._unwatched(self.listing)))

    @cached_property
    def head(self) -> str:
        """The id of the last commit, "" where there is none yet."""
        self.ask_head()
        assert self._head is not None
        return (self._ended(self._head) or b"").decode("ascii").strip()

    @cached_property
    def trusted(self) -> bool:
        """Tell whether a file that has not changed has the content of its blob."""
        return _is_plain(self._settings) and not self._converts(self._settings)

    @cached_property
    def status(self) -> WorktreeStatus | None:
        """Wait for all; None where git failed, or where only a look at every file tells what is in the folder."""
        listing, changes, others = self.listing, self.changes, self._ended(self._others)
        changed = self.changed
        if listing is None or changes is None or changed is None or others is None:
            return None
        return WorktreeStatus(listing, changed, tuple(self._names(others)), self.trusted)

    @cached_property
    def staged(self) -> tuple[ChangedFile, ...]:
        """The files in which the index differs from the last commit, as that has them; raises GitError."""
        return staged_files(self.repo)

    def _begin(self, *words: str, extra: dict[str, str] | None = None) -> "subprocess.Popen[bytes]":
        quiet = subprocess.DEVNULL
        environment = {**self.repo.environment(), **(extra or {})}
        process = call.start(words, self.repo.top, environment, stdin=quiet, stderr=quiet)
        self._begun.append(process)
        return process

    def _ended(self, process: "subprocess.Popen[bytes]") -> bytes | None:
        """Wait for what a process prints; None where it failed (`git config` that finds nothing has not)."""
        answer, _ = call.finish(process, self.repo.top, self.repo.environment())
        return None if process.returncode not in {0, 1} or (process.returncode and answer) else answer

    def __del__(self) -> None:
        """Put an end to what was not waited for, if anything, as where whoever asked has failed."""
        for process in self._begun:
            if process.returncode is None:
                process.kill()
                process.communicate()

    def _names(self, listing: bytes) -> Iterator[str]:
        skip = len(self.repo.prefix)
        return (name[skip:] for name in os.fsdecode(listing).split("\0")[:-1])

    def _unwatched(self, listing: bytes) -> Iterator[str]:
        """Yield the files that git was told not to look at, or that a merge has left in several stages."""
        if listing.count(b"\0H ") + listing.startswith(b"H ") == listing.count(b"\0"):
            return
        for line in listing.split(b"\0"):
            if line and not line.startswith(b"H "):
                yield os.fsdecode(line.partition(b"\t")[2])[len(self.repo.prefix) :]

    def _converts(self, settings: dict[str, str]) -> bool:
        """Tell whether any file of attributes that counts for job files mentions conversion."""
        top = self.repo.top
        outside, inside = self._attribute_files(settings), self._own_attribute_files()
        return any(_may_convert(partial(read_plain, path)) for path in outside) or any(
            _may_convert(partial(read_beneath, top, path)) for path in inside
        )

    def _attribute_files(self, settings: dict[str, str]) -> Iterator[str]:
        home = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config")
        yield str(Path(settings.get("core.attributesfile") or home / "git" / "attributes").expanduser())
        yield "/etc/gitattributes"
        yield f"{self.repo.common_dir}/info/attributes"

    def _own_attribute_files(self) -> Iterator[str]:
        """Yield those in the working tree, relative to its top, from there down to the folders of the years."""
        jobs = f"{self.repo.prefix}jobs"
        folders = jobs.split("/")
        for depth in range(len(folders) + 1):
            yield "/".join([*folders[:depth], ".gitattributes"])
        with suppress(OSError), folder_beneath(self.repo.top, jobs) as opened:
            yield from [f"{jobs}/{name}/.gitattributes" for name, is_folder in opened.names() if is_folder]


def _may_convert(read: Callable[[], bytes]) -> bool:
    """Tell whether a file of attributes mentions conversion; one that cannot be read may."""
    try:
        return _CONVERTED.search(read()) is not None
    except MissingError:
        return False
    except DiskError:
        return True


def _settings(listing: bytes) -> Iterator[tuple[str, str]]:
    for entry in os.fsdecode(listing).split("\0")[:-1]:
        name, _, value = entry.partition("\n")
        yield name, value if "\n" in entry else "true"


def _without_filters(settings: dict[str, str]) -> dict[str, str]:
    names = [name for name in settings if name.startswith("filter.") and not name.endswith(".smudge")]
    return call.filters_off(names)


def _is_plain(settings: dict[str, str]) -> bool:
    if _AWAY & settings.keys():
        return False
    if any(
        settings.get(name, "false").lower() not in {"false", "no", "off", "0", ""} for name in _CONVERTING
    ):
        return False
    trusts = settings.get("core.trustctime", "true").lower() in {"true", "yes", "on", "1"}
    return trusts and settings.get("core.checkstat", "default").lower() == "default"


def _is_odd(listing: bytes) -> bool:
    """Tell whether there are other repositories in the index, or folders that are named like files of jobs."""
    return b" 160000 " in listing or b".toml/" in listing
