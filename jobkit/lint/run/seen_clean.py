"""What is staged, where all of it was checked before and found clean: told without loading a rule.

Whatever is not plainly so is left to the rules.
"""

from __future__ import annotations

from collections.abc import Callable

from jobkit.book import git
from jobkit.book.shelf.opening import Index, kind_of
from jobkit.jobs.job_folder import attachment_path
from jobkit.lint.check.result import RECENT, Head, Recent, Was

_LOOKED_AT = ("schema/", "private/")
"""Folders whose files rules look at, though they are none of the book's own."""


def is_looked_at(path: str) -> bool:
    """Tell whether any rule looks at a file."""
    return kind_of(path) != "other" or path.startswith(_LOOKED_AT)


def is_clean(shelf: Index, has_begun: Callable[[str, str], bool]) -> bool:
    """Tell whether a check of what is staged would find nothing; False where only the rules can tell.

    `has_begun` tells whether a day has begun in a time zone. Raises GitError.
    """
    kept = shelf.keep.load(RECENT) if shelf.keep else None
    if not kept:
        return False
    recent = Recent._make(kept)
    own = (path for path in shelf.own_paths() if kind_of(path) != "clients")
    if sorted(shelf.blobs(own).items()) != sorted(recent.own):
        return False
    return all(_is_clean(one, recent, shelf, has_begun) for one in shelf.changes)


def _is_clean(one: git.Change, recent: Recent, shelf: Index, has_begun: Callable[[str, str], bool]) -> bool:
    kind = kind_of(one.path)
    if kind == "attachment" or not is_looked_at(one.path):
        return True
    if kind != "job" or one.path not in recent.heads:
        return False
    row, was = recent.heads[one.path]
    head = Head._make(row)
    if head.blob != one.blob or not head.is_read or head.found or head.waives or not head.alone:
        return False
    if len(shelf.jobs_named(one.path.rpartition("/")[2].removesuffix(".toml"))) != 1:
        return False
    if not all(shelf.is_listed(attachment_path(head.path, name)) for name in head.attachments):
        return False
    return has_begun(head.last_done, recent.zone) and (not one.was or _is_unbound(one, head, was))


def _is_unbound(one: git.Change, head: Head, was: tuple[object, ...] | None) -> bool:
    """Tell whether nothing binds a job to what it was: it had not been sent, and no other job leans on what changed."""
    before = Was._make(was) if was else None
    return bool(before and before.blob == one.was and not before.is_sent and before.leans == head.leans)
