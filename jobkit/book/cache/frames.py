"""Plain data in a file, piece by piece: what each process of ours writes for another, or for a later call.

Each piece is behind its length. Marshal reads bytes at once, but out of a file value by value, which takes far longer.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterator
from typing import IO, Any

_SIZE = 8
"""Bytes that tell how long the piece behind them is."""


def piece_of(data: Any) -> bytes:
    """Write plain data as a piece."""
    body = marshal.dumps(data)
    return len(body).to_bytes(_SIZE, "big") + body


def pieces_in(file: IO[bytes]) -> Iterator[Any]:
    """Read the pieces from here on, each when it is asked for; only of files of our own that are whole."""
    while size := int.from_bytes(file.read(_SIZE), "big"):
        yield marshal.loads(file.read(size))  # noqa: S302 - our own bytes
