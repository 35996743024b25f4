"""Which jobs are not what they were when a working tree stood otherwise.

Between two looks at a book a few jobs were edited, staged or committed, and nothing else has happened. That is told
from a digest: the index as it is, with the lines of those few put back, must be to the letter the index as it was.
Whatever is more than that is not told apart here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from hashlib import sha1
from typing import NamedTuple

from jobkit.book import git
from jobkit.book.history.tree_snapshot import Stood, is_as_then, line_of, standing
from jobkit.book.shelf.file_kinds import kind_of
from jobkit.book.shelf.tree import GitTree

_SURE = re.compile(rb"H 100[0-7]{3} ([0-9a-f]+) 0\t")

MANY = 20
"""So many jobs are not told apart one by one."""


class Moved(NamedTuple):
    """One job file that is not what it was, by blob ids: its content then, its content now, and in the last commit.

    `committed` is "" where the last commit has no such file.
    """

    path: str
    was: str
    blob: str
    committed: str


def has_surely_moved(shelf: GitTree, then: Stood) -> bool:
    """Tell whether some job certainly has another content than then, as soon as that can be told.

    Who has a job on the bench looks at it again and again: those seen changed are looked at without git's help. Then
    git is asked which tracked files have changed; it takes longer to tell which are new.
    """
    if len(then.loose) <= MANY and not shelf.is_still(then.loose):
        return True
    now = shelf.loose
    tracked = [path for path in {*then.loose, *now} if path in now or shelf.listed_blob(path)]
    return any(_content(shelf, path, then.loose) != _content(shelf, path, now) for path in tracked)


def moved_since(shelf: GitTree, then: Stood) -> dict[str, Moved] | None:
    """Tell which jobs are not what they were; None where there is more to it, or they are too many."""
    if is_as_then(shelf, then):
        return {}
    now, swapped = standing(shelf, then), _swapped(shelf, then)
    if now is None or swapped is None or now.around != then.around:
        return None
    paths = sorted({*then.lines, *now.lines, *swapped})
    if then.committed is None or now.committed is None or len(paths) > MANY:
        return None
    lines = {path: _line_then(shelf, path, then, now.committed | swapped) for path in paths}
    is_told = now.listing == then.listing or _is_digest_of(shelf, lines, then.listing)
    return _told_apart(shelf, then, now, lines) if is_told else None


def _told_apart(
    shelf: GitTree, then: Stood, now: Stood, lines: Mapping[str, bytes]
) -> dict[str, Moved] | None:
    """Tell which of a few jobs are not what they were, from their lines in the index then."""
    assert then.committed is not None
    assert now.committed is not None
    found = {}
    for path, line_then in lines.items():
        line = line_of(shelf, path)
        was, blob = then.loose.get(path, _blob(line_then)), now.loose.get(path, _blob(line))
        committed_then, committed = then.committed.get(path), now.committed.get(path)
        if was and (line, was, committed) == (line_then, blob, committed_then):
            continue
        if not (was and blob and _is_sure(line) and _is_sure(line_then)):
            return None
        before = _blob(line_then) if committed_then is None else committed_then
        committed = _blob(line) if committed is None else committed
        if (was, before) != (blob, committed):
            found[path] = Moved(path, was, blob, committed)
    return found


def _swapped(shelf: GitTree, then: Stood) -> dict[str, str] | None:
    """Tell what the jobs were in the last commit of then that are others in that of now; None where git cannot tell."""
    head = shelf.asking.head
    if head == then.head:
        return {}
    try:
        swaps = git.tree_swaps(shelf.repo, then.head, head) if then.head and head else None
    except git.GitError:
        return None  # a commit that is no longer there
    return None if swaps is None else {swap.path: swap.was for swap in swaps if kind_of(swap.path) == "job"}


def _line_then(shelf: GitTree, path: str, then: Stood, committed: Mapping[str, str]) -> bytes:
    """Give the line that a job had in the index; one that was neither edited nor staged was as committed."""
    if path in then.lines:
        return then.lines[path]
    line = line_of(shelf, path)
    is_same = shelf.lying is None or shelf.lying.listing == then.listing
    if is_same or path not in committed or not _blob(line):
        return line
    return line.replace(_blob(line).encode("ascii"), committed[path].encode("ascii"), 1)


def _is_digest_of(shelf: GitTree, lines: Mapping[str, bytes], digest: bytes) -> bool:
    """Tell whether the index with these lines put back is the one that was."""
    listing = shelf.asking.listing or b""
    for path, was in lines.items():
        line = line_of(shelf, path)
        if bool(line) != bool(was):
            return False  # it has come or gone
        listing = listing.replace(line, was, 1)
    return sha1(listing, usedforsecurity=False).digest() == digest


def _is_sure(line: bytes) -> bool:
    """Tell whether a line of the index is of a plain file that git looks at, or there is none."""
    return not line or _SURE.match(line) is not None


def _blob(line: bytes) -> str:
    found = _SURE.match(line)
    return found[1].decode("ascii") if found else ""


def _content(shelf: GitTree, path: str, loose: Mapping[str, str]) -> str:
    return loose[path] if path in loose else shelf.listed_blob(path)
