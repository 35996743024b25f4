"""What tells whether a job has changed in anything that another job is held to, without loading what is kept of all.

Of ten thousand jobs one has changed: to load what is kept of the others takes longer than to check that one. So the
little that it is compared with is kept in one long text too, which is searched for the path and the content.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from hashlib import sha1
from typing import NamedTuple

from jobkit.lint.check.result import DIGEST, Head, Was

NAME = "marks"
"""Under which they are kept."""


class Mark(NamedTuple):
    """What is told of a job with one content: what binds it, and a digest of all that rules across jobs read of it."""

    was: Was
    read: bytes


def mark_of(head: Head) -> Mark:
    """Boil a head down to its mark."""
    read = sha1(head.read, usedforsecurity=False).digest()[:DIGEST]
    return Mark(Was(head.blob, head.is_sent, head.leans), read)


def text_of(heads: Iterable[Head]) -> bytes:
    """Write the marks of all jobs that can be read into one text."""
    return b"".join(_line(head) for head in heads if head.blob and head.is_read)


def find(text: bytes, path: str, blob: str) -> Mark | None:
    """Find the mark of a job file with a content; None where there is none."""
    sought = _name(path, blob)
    at = text.find(sought)
    if at < 0:
        return None
    start = at + len(sought) + 1
    leans, read = text[start : start + 2 * DIGEST], text[start + 2 * DIGEST : start + 4 * DIGEST]
    was = Was(blob, text[start - 1 : start] == b"1", bytes.fromhex(leans.decode("ascii")))
    return Mark(was, bytes.fromhex(read.decode("ascii")))


def _line(head: Head) -> bytes:
    mark = mark_of(head)
    said = f"{int(head.is_sent)}{head.leans.hex()}{mark.read.hex()}"
    return _name(head.path, head.blob) + said.encode("ascii")


def _name(path: str, blob: str) -> bytes:
    # No path and no hexadecimal number holds a NUL.
    return b"\0%s\0%s\0" % (os.fsencode(path), blob.encode("ascii"))
