"""A git process that never ends: git opens named pipes and devices in the place of some files, and waits there."""

from __future__ import annotations

import os
import stat
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from itertools import chain
from pathlib import Path

_PATIENCE = 1.0
"""After so many seconds it is worth looking for what git may wait for."""

_READ_BY_GIT = frozenset((".gitattributes", ".gitignore", ".gitmodules"))
_ENDLESS = frozenset((stat.S_IFIFO, stat.S_IFCHR, stat.S_IFBLK))


def answer_of(process: subprocess.Popen[bytes], folder: str, git_dir: str = "") -> tuple[bytes, bytes, str]:
    """Wait for what git prints and complains of, and return both with "".

    Where git waits for a file in `folder` or in its own folder that never ends, end it and return that file as well.
    """
    try:
        return *process.communicate(timeout=_PATIENCE), ""
    except subprocess.TimeoutExpired:
        endless = next(_endless_files(folder, git_dir), "")
    if endless:
        process.kill()
    return *process.communicate(), endless


def _endless_files(folder: str, git_dir: str) -> Iterator[str]:
    """Yield the pipes and devices that stand where git reads files by itself."""
    above = (f"{place}/{name}" for place in Path(folder).parents for name in sorted(_READ_BY_GIT))
    in_tree = (one.path for one in _files(folder, ".git") if one.name in _READ_BY_GIT)
    in_git = (one.path for one in _files(git_dir or f"{folder}/.git", "objects"))
    return filter(_is_endless, chain(above, in_tree, in_git))


def _files(top: str, skip: str) -> Iterator[os.DirEntry[str]]:
    """Yield all below a folder that is not itself a folder; folders named `skip` are left out."""
    todo = [top]
    while todo:
        with suppress(OSError), os.scandir(todo.pop()) as entries:
            for entry in entries:
                if not entry.is_dir(follow_symlinks=False):
                    yield entry
                elif entry.name != skip:
                    todo.append(entry.path)


def _is_endless(place: str) -> bool:
    try:
        return stat.S_IFMT(os.lstat(place).st_mode) in _ENDLESS
    except OSError:
        return False
