"""The files below jobs/ that are not in git's index, told one by one."""

from __future__ import annotations

from collections.abc import Callable, Container
from posixpath import normpath

from jobkit.book import git


class Untracked(Container[object]):
    """Which files below jobs/ are there and are not in the index, ignored ones too.

    Git is asked only when a file is asked about, and only about the folder of that job.
    """

    def __init__(self, repo: git.Repo, is_listed: Callable[[str], bool]) -> None:
        """Take a repository, and what tells whether a path is in its index."""
        self._repo = repo
        self._is_listed = is_listed
        self._known: dict[str, frozenset[str]] = {}

    def __contains__(self, path: object) -> bool:
        """Tell of one path, relative to the book; raises GitError."""
        if not isinstance(path, str) or not path.startswith("jobs/") or normpath(path) != path:
            return False
        if self._is_listed(path):
            return False
        around = "/".join(path.split("/")[:3])
        if around not in self._known:
            self._known[around] = frozenset(git.untracked_names(self._repo, around))
        return path in self._known[around]
