"""The files with names and addresses that git has, or would take."""

from __future__ import annotations

import os

from jobkit.book import git
from jobkit.book.disk.errors import DiskError
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.shelf.file_kinds import is_private


def private_taken(repo: git.Repo, root: str | os.PathLike[str]) -> tuple[str, ...]:
    """Return those at the top of a book, or below private/, that are in the index or that `git add` would take.

    Raises GitError.
    """
    try:
        with folder_beneath(os.fspath(root), "") as folder:
            names = [name for name, _ in folder.names() if is_private(name)]
    except DiskError:
        return ()  # who reads the book is told
    return git.taken_names(repo, names) if names else ()
