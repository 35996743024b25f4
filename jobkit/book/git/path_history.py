"""Which contents a few files had in a commit and all before it, without going through the rest of the history."""

import os
from collections.abc import Sequence

from jobkit.book.git.listing import RAW
from jobkit.book.git.repo import Repo

_WORDS = ("log", "-m", "--format=", "--full-history", "--no-notes", "--no-color", "--no-decorate")


def blobs_up_to(repo: Repo, commit: str, paths: Sequence[str], since: str = "") -> dict[str, list[str]]:
    """Return by path the contents that files of the book had in a commit or before it, the latest first.

    Commits made before the day `since` (ISO 8601) are left out, which spares going through the years before. Renames
    are not followed. Raises GitError.
    """
    found: dict[str, list[str]] = {path: [] for path in paths}
    if not paths:
        return found
    below = [repo.prefix + path for path in paths]
    bound = (f"--since={since}T00:00:00Z",) if since else ()
    words = (
        word
        for word in os.fsdecode(repo.ask(*_WORDS, *RAW, *bound, commit, "--", *below)).split("\0")
        if word
    )
    for record in words:
        path, (_, mode, _, blob, _) = next(words)[len(repo.prefix) :], record.strip().split(" ")
        if mode.startswith("100") and blob not in found[path]:
            found[path].append(blob)
    return found
