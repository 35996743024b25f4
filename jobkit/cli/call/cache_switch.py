"""Where the answers of a call may be kept."""

from __future__ import annotations

import os

from jobkit.book import git
from jobkit.book.cache.store import Keep, keep_of
from jobkit.cli.call.quick import UNKEPT
from jobkit.cli.call.streams import say


def keep_for(repo: git.Repo | None) -> Keep | None:
    """Open what is kept about a book, unless nothing is to be kept."""
    if repo is None or os.environ.get(UNKEPT):
        return None
    return keep_of(repo, lambda line: say(f"jobkit: {line}"))
