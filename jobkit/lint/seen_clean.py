"""What is staged, where all of it was checked before and found clean: told without loading a rule.

Whatever is not plainly so is left to the rules.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from jobkit.book.kept import Keep
from jobkit.book.shelf import kind_of
from jobkit.jobs.attachments import attachment_path
from jobkit.lint.head import RECENT, Head, Recent

_OWN = re.compile(rb"100[0-7]{3} ([0-9a-f]+) 0\t([^\0]+)\0")
_OWN_FILES = (b"\tbench.toml\0", b"\tmeters.toml\0", b"\tstock.toml\0", b"\tboards/")


_LOOKED_AT = ("schema/", "private/")
"""Folders whose files rules look at, though they are none of the book's own."""


class Staged(NamedTuple):
    """One file that the next commit adds or changes: what was there ("" for nothing), and what comes."""

    path: str
    was: str
    blob: str


def is_clean(
    keep: Keep, staged: Iterable[Staged], listing: bytes, has_begun: Callable[[str, str], bool]
) -> bool:
    """Tell whether a check of just these files would find nothing; False where only the rules can tell.

    `listing` is all that the index holds of the book, as `git ls-files -s -z` prints it; `has_begun` tells
    whether a day has begun in a time zone.
    """
    kept = keep.load(RECENT)
    if not kept:
        return False
    recent = Recent._make(kept)
    if sorted(_own_files(listing)) != sorted(recent.own):
        return False
    return all(_is_clean(one, recent, listing, has_begun) for one in staged)


def _own_files(listing: bytes) -> Iterator[tuple[str, str]]:
    """Yield the bench's own files with their blobs, out of a listing that may be long."""
    for mark in _OWN_FILES:
        at = listing.find(mark)
        while at >= 0:
            start = listing.rfind(b"\0", 0, at) + 1
            found = _OWN.match(listing, start)
            path = os.fsdecode(found[2]) if found else ""
            if found and kind_of(path) in {"bench", "meters", "stock", "board"}:
                yield path, found[1].decode("ascii")
            at = listing.find(mark, at + 1)


def _is_clean(one: Staged, recent: Recent, listing: bytes, has_begun: Callable[[str, str], bool]) -> bool:
    kind = kind_of(one.path)
    if kind == "attachment" or (kind == "other" and not one.path.startswith(_LOOKED_AT)):
        return True
    if kind != "job" or one.path not in recent.heads:
        return False
    new, old = recent.heads[one.path]
    head = Head._make(new)
    if head.blob != one.blob or not head.is_read or head.found or head.waives or not head.alone:
        return False
    name = f"/{one.path.rpartition('/')[2]}\0".encode()
    if listing.count(name) != 1 or not all(_is_there(path, listing) for path in _attached(head)):
        return False
    return has_begun(head.last_done, recent.zone) and (not one.was or _is_unbound(one, head, old))


def _is_unbound(one: Staged, head: Head, old: tuple[object, ...] | None) -> bool:
    """Tell whether nothing binds a job to what it was: it had not been sent, and no other job leans on what changed."""
    before = Head._make(old) if old else None
    return bool(before and before.blob == one.was and not before.is_sent and before.leans == head.leans)


def _attached(head: Head) -> list[str]:
    return [attachment_path(head.path, name) for name in head.attachments]


def _is_there(path: str, listing: bytes) -> bool:
    return f"\t{path}\0".encode("utf-8", "surrogateescape") in listing
