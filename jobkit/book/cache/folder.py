"""Where the store of a book is: in the user's own folder for what can be calculated again, never in the repository.

A repository may come from anyone, a store that comes with it too; so there is none in it that would count. The folder
is `$XDG_CACHE_HOME/jobkit` (XDG Base Directory Specification). It must belong to the user, and no other user may write
to it; a repository whose git directory belongs to another user has no store.
"""

from __future__ import annotations

import errno
import os
import stat
import time
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from jobkit.book import git
from jobkit.book.cache.store import Cache

_FORM = "3"
"""Raised with each change of the tables."""
_OLD = 100 * 24 * 3600
"""Seconds after which a store that was not written to is taken for one of a book that is gone."""


def cache_of(repo: git.Repo, complain: Callable[[str], None]) -> Cache | None:
    """Find the store of the book in a repository; None where it can have none, which `complain` is told."""
    try:
        told = Path(repo.common_dir).stat()
        if not _is_own(told):
            return None
        path = _folder() / f"{_name(repo, told)}-{_FORM}.sqlite"
        _check(path)
    except (OSError, RuntimeError) as error:
        where, why = getattr(error, "filename", "a home folder"), getattr(error, "strerror", error)
        complain(f"nothing can be kept in {where} ({why}), so every call takes longer")
        return None
    return Cache(path, complain)


def kept_page(name: str, text: str) -> Path | None:
    """Keep a page of words as a file that an editor can open, and return its place; None where it cannot be kept."""
    try:
        place = _folder() / name
        _check(place)
        if not place.exists() or place.read_text("utf-8") != text:
            half = place.with_name(f".{name}-{os.getpid()}")
            half.write_text(text, "utf-8")
            half.replace(place)
    except (OSError, RuntimeError, ValueError):
        return None
    return place


def _name(repo: git.Repo, told: os.stat_result) -> str:
    """Name a book: the folder of its repository, which of all that were in that place, and its folder in it."""
    words = f"{told.st_ino} {repo.common_dir} {repo.prefix}"
    return sha256(os.fsencode(words)).hexdigest()[:16]


def _folder() -> Path:
    """Give the folder of all stores, made where it is missing; raises OSError where it is not the user's alone."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    folder = (Path(home) if home.startswith("/") else Path.home() / ".cache") / "jobkit"
    if not os.path.lexists(folder):
        folder.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if _is_own(folder.parent.stat()):
            folder.mkdir(exist_ok=True, mode=0o700)
    told = folder.lstat()
    if not stat.S_ISDIR(told.st_mode) or not _is_own(told) or told.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
        raise PermissionError(
            errno.EPERM, "it must be a folder of your own that only you can write to", folder
        )
    return folder


def _check(path: Path) -> None:
    """Raise OSError where there is something at `path` that is not a plain file of the user's."""
    try:
        told = path.lstat()
    except FileNotFoundError:
        _forget_old(path.parent)
        return
    if not stat.S_ISREG(told.st_mode) or told.st_nlink != 1 or not _is_own(told):
        raise PermissionError(errno.EPERM, "it must be a plain file of your own", path)


def _is_own(told: os.stat_result) -> bool:
    # Windows keeps the folders of a user from the others.
    return not hasattr(os, "geteuid") or told.st_uid == os.geteuid()


def _forget_old(folder: Path) -> None:
    """Take away the stores of books that are gone."""
    for path in folder.glob("*.sqlite"):
        with suppress(OSError):
            if path.stat().st_mtime < time.time() - _OLD:
                path.unlink()
