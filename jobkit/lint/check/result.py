"""What is kept of the check of one job file; needs nothing that a check needs."""

from typing import Any, NamedTuple

NAME = "checks"
"""Under which the heads of a whole book are kept."""

DIGEST = 12
"""Bytes of a digest of facts: enough for a million million jobs."""

RECENT = "recent"
"""Under which the few are kept that were checked since."""


class Head(NamedTuple):
    """What a check needs of a job that it has looked at before.

    `blob` is the id of the content; `held_to` the digest of the bench's own files that have a say; `asks` are the rules
    across jobs that have anything to ask about this one; `read` digests what each of them reads of it, DIGEST bytes
    each, in the order of their register; `leans` digests what other jobs may lean on; `alone` tells that no rule asks
    anything where only some jobs are checked; `found` are the findings as plain tuples.
    """

    path: str
    blob: str
    held_to: bytes
    design: str
    is_read: bool
    last_done: str = ""
    attachments: tuple[str, ...] = ()
    waives: tuple[tuple[str, str], ...] = ()
    asks: tuple[str, ...] = ()
    read: bytes = b""
    leans: bytes = b""
    is_sent: bool = False
    alone: bool = False
    found: tuple[Any, ...] = ()


class Was(NamedTuple):
    """As much of an earlier head as tells whether a job is bound to what it was."""

    blob: str
    is_sent: bool
    leans: bytes


class Recent(NamedTuple):
    """What was checked since the whole book was kept.

    The bench's own files by blob, its zone, and by path the head of a job as plain data, with what it had been in the
    whole book (`Was`; None where it was not there, or could not be read).
    """

    own: tuple[tuple[str, str], ...]
    zone: str
    heads: dict[str, tuple[Any, Any]]
