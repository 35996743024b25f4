"""Which files in the index mention a word, without reading them one by one."""

import os
from collections.abc import Sequence

from jobkit.book.git import call
from jobkit.book.git.repo import Repo


def files_containing(repo: Repo, folders: Sequence[str], words: Sequence[str]) -> tuple[str, ...]:
    """Return the files below folders of the book that hold one of the words. Raises GitError."""
    if not words or not folders:
        return ()
    patterns = [part for word in words for part in ("-e", word)]
    plain = ("--no-color", "--no-textconv", "--no-recurse-submodules", "--full-name", "-I")
    below = ("--", *(repo.prefix + folder for folder in folders))
    asked = ("grep", "--cached", "-l", "-z", "-F", *plain, *patterns, *below)
    status, answer, complaint = call.try_asking(asked, repo.top, repo.environment())
    # Status 1 means that no file does.
    if status > 1:
        raise call.refusal(complaint, "grep", repo.top)
    skip = len(repo.prefix)
    return tuple(name[skip:] for name in os.fsdecode(answer).split("\0")[:-1])
