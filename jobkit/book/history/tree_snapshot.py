"""How a working tree stands: small enough to keep, and exact enough to tell whether anything has changed since."""

from __future__ import annotations

from hashlib import sha1
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.git import listed
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.shelf.tree import GitTree, Lying


class Stood(NamedTuple):
    """How a working tree stood.

    `around` digests the names of files that are gone or new, and of those of private/ that git holds. `listing` digests
    the index, `head` is the last commit. `loose` are the contents of jobs that git did not vouch for, `committed` what
    staged jobs were in the last commit, as blob ids by path (None where a job has gone since: others may be it under a
    new name); `lines` are the lines of all these in the index.
    """

    around: bytes
    listing: bytes
    head: str
    loose: dict[str, str]
    committed: dict[str, str] | None
    lines: dict[str, bytes]


def standing(shelf: GitTree, then: Stood | None = None) -> Stood | None:
    """Tell how a working tree stands; None where git cannot vouch for it. How it stood `then` spares a question.

    Raises GitError.
    """
    lying, head = shelf.lying, shelf.asking.head
    if lying is None:
        return None
    is_same = then is not None and (then.listing, then.head) == (lying.listing, head)
    committed = then.committed if then and is_same else _committed(shelf)
    lines = {path: line_of(shelf, path) for path in {*lying.loose, *(committed or ())}}
    return Stood(_around(shelf, lying), lying.listing, head, lying.loose, committed, lines)


def is_as_then(shelf: GitTree, then: Stood) -> bool:
    """Tell whether no file, not even in git's index or the last commit, has changed since."""
    lying = shelf.lying
    if lying is None or not all(lying.loose.values()):
        return False  # of what cannot be read nobody can say that it is as it was
    return then[:4] == (_around(shelf, lying), lying.listing, shelf.asking.head, lying.loose)


def _committed(shelf: GitTree) -> dict[str, str] | None:
    """Tell which blobs staged jobs had in the last commit; None where a job has gone, for others may be it."""
    try:
        staged = shelf.asking.staged
    except git.GitError:
        return None  # the files can be checked all the same
    jobs = [swap for swap in (*(shelf.asking.changes or ()), *staged) if kind_of(swap.path) == "job"]
    if any(swap.was and not shelf.holds(swap.path) for swap in jobs):
        return None
    return {swap.path: swap.was for swap in staged if kind_of(swap.path) == "job"}


def _around(shelf: GitTree, lying: Lying) -> bytes:
    told = repr((lying.gone, lying.new, shelf.private()))
    return sha1(told.encode("utf-8", "surrogateescape"), usedforsecurity=False).digest()


def line_of(shelf: GitTree, path: str) -> bytes:
    """Give the line that a job has in the index; none where it is not there."""
    return listed.line(shelf.asking.listing or b"", shelf.repo.prefix + path)
