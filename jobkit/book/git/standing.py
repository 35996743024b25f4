"""How the working tree stands to the index, without reading a file: asked of several git processes at once.

Git remembers size, times and inode of every file it has seen, and says which files may have changed since. What it
says can be taken for the content of a file only where nothing converts contents on their way in or out, and where git
looks at all it can: `Standing.trusted` tells.
"""

import os
import re
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from jobkit.book.git import call
from jobkit.book.git.repo import Repo


class Standing(NamedTuple):
    """The files of the book as the index has them, and where the working tree may differ.

    `listing` is what `git ls-files -s -v -z` prints: tag, mode, blob, stage and path of every file (paths here have
    the book's prefix). `changed` are tracked files that are gone or may have changed, relative to the book; `others`
    what lies below jobs/ and is not in the index, a folder with nothing tracked in it as one name with "/" at the end.
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

_CONVERTED = re.compile(rb"(?<![-!\w])(?:text|eol|crlf|filter|ident|working-tree-encoding)\b")
"""Attributes that make git convert contents; see gitattributes(5)."""


class Asking:
    """Questions put to git that are being answered; `standing` waits for the answers."""

    def __init__(self, repo: Repo) -> None:
        """Put them; raises GitMissingError."""
        self._repo = repo
        below = ("--", repo.prefix) if repo.prefix else ()
        # Of all settings git is told where to look by its own rules, so this waits for nothing.
        self._settings = self._begin("config", "-z", "--get-regexp", _SETTINGS)
        self._listing = self._begin("ls-files", "-s", "-v", "-z", *below)
        self._others = self._begin("ls-files", "-o", "--directory", "-z", "--", f"{repo.prefix}jobs")
        self._below = below

    def standing(self) -> Standing | None:
        """Wait for git; None where it failed, or where only a look at every file tells what lies in the folder."""
        settings = dict(_settings(_ended(self._settings) or b""))
        words = ("diff-files", "--name-only", "-z", "--no-renames", "--ignore-submodules=none", "-O/dev/null")
        changes = self._begin(*words, *self._below, extra=_without_filters(settings))
        listing, others = _ended(self._listing), _ended(self._others)
        changed = _ended(changes)
        if listing is None or others is None or changed is None or _is_odd(listing):
            return None
        names = frozenset((*self._names(changed), *self._unwatched(listing)))
        trusted = _is_plain(settings) and not self._converts(settings)
        return Standing(listing, names, tuple(self._names(others)), trusted)

    def _begin(self, *words: str, extra: dict[str, str] | None = None) -> "subprocess.Popen[bytes]":
        quiet = subprocess.DEVNULL
        environment = {**self._repo.environment(), **(extra or {})}
        return call.start(words, self._repo.top, environment, stdin=quiet, stderr=quiet)

    def _names(self, listing: bytes) -> Iterator[str]:
        skip = len(self._repo.prefix)
        return (name[skip:] for name in os.fsdecode(listing).split("\0")[:-1])

    def _unwatched(self, listing: bytes) -> Iterator[str]:
        """Yield the files that git was told not to look at, or that a merge has left in several stages."""
        if listing.count(b"\0H ") + listing.startswith(b"H ") == listing.count(b"\0"):
            return
        for line in listing.split(b"\0"):
            if line and not line.startswith(b"H "):
                yield os.fsdecode(line.partition(b"\t")[2])[len(self._repo.prefix) :]

    def _converts(self, settings: dict[str, str]) -> bool:
        """Tell whether any file of attributes that counts for job files speaks of conversion."""
        for path in self._attribute_files(settings):
            with suppress(OSError):
                if _CONVERTED.search(path.read_bytes()):
                    return True
        return False

    def _attribute_files(self, settings: dict[str, str]) -> Iterator[Path]:
        home = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config")
        yield Path(settings.get("core.attributesfile") or home / "git" / "attributes").expanduser()
        yield Path("/etc/gitattributes")
        yield Path(self._repo.common_dir, "info", "attributes")
        folder = Path(self._repo.top, self._repo.prefix)
        yield Path(self._repo.top, ".gitattributes")
        for part in range(len(Path(self._repo.prefix).parts)):
            yield Path(self._repo.top, *Path(self._repo.prefix).parts[: part + 1], ".gitattributes")
        yield folder / "jobs" / ".gitattributes"
        with suppress(OSError), os.scandir(folder / "jobs") as years:
            yield from [Path(year.path, ".gitattributes") for year in years]


def _ended(process: "subprocess.Popen[bytes]") -> bytes | None:
    """Wait for what a process prints; None where it failed (`git config` that finds nothing has not)."""
    answer, _ = process.communicate()
    return None if process.returncode not in {0, 1} or (process.returncode and answer) else answer


def _settings(listing: bytes) -> Iterator[tuple[str, str]]:
    for entry in os.fsdecode(listing).split("\0")[:-1]:
        name, _, value = entry.partition("\n")
        yield name, value if "\n" in entry else "true"


def _without_filters(settings: dict[str, str]) -> dict[str, str]:
    """Keep filters from running: git starts the clean filter of a file whose time stamp is too young to trust."""
    first = int(os.environ.get("GIT_CONFIG_COUNT") or 0)
    off: dict[str, str] = {}
    names = [name for name in settings if name.startswith("filter.") and not name.endswith(".smudge")]
    for number, name in enumerate(names, start=first):
        off[f"GIT_CONFIG_KEY_{number}"] = name
        off[f"GIT_CONFIG_VALUE_{number}"] = "false" if name.endswith(".required") else ""
    return {**off, "GIT_CONFIG_COUNT": str(first + len(names))}


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
