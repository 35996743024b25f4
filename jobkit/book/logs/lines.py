"""A stream of bytes as numbered lines, a block at a time: memory stays bounded whatever the log holds."""

from __future__ import annotations

import codecs
import io
from collections.abc import Callable, Iterator
from typing import IO

from jobkit.named_tuple import NamedTuple

BLOCK = 1 << 18
"""So many bytes are read at a time: about 16,000 rows of a memory log."""

LONGEST_LINE = 1 << 16
"""A longer line is not a row of a log; it is skipped unread."""


class Lines(NamedTuple):
    """Whole lines without their ends, joined by line feeds, and the number of the first of them."""

    first: int
    text: str

    def below(self, line: int) -> Lines | None:
        """Return the lines below a line, such as the header; None if there are none."""
        text, number = self.text, self.first
        while number <= line:
            _, feed, text = text.partition("\n")
            if not feed:
                return None
            number += 1
        return Lines(number, text)


class TooLong(NamedTuple):
    """A line that was skipped for its length."""

    line: int


def numbered_lines(
    head: bytes, stream: IO[bytes], codec: str, progress: Callable[[int], None] | None = None
) -> Iterator[Lines | TooLong]:
    """Yield the lines of `head` and of all that follows it in `stream`; Windows and old Mac line ends are read too.

    Bytes that the codec does not know become U+FFFD. `progress` is told the bytes read so far after each block.
    """
    letters = _decoder(codec)
    number, rest, too_long = 1, "", False
    for text in _texts(head, stream, letters, progress):
        whole, feed, rest = (rest + text).rpartition("\n")
        if feed and too_long:
            _, feed, whole = whole.partition("\n")
            number, too_long = number + 1, False
        if feed:
            yield Lines(number, whole)
            number += whole.count("\n") + 1
        if len(rest) > LONGEST_LINE:
            if not too_long:
                yield TooLong(number)
            rest, too_long = "", True
    if rest and not too_long:
        yield Lines(number, rest)


def _decoder(codec: str) -> io.IncrementalNewlineDecoder:
    return io.IncrementalNewlineDecoder(codecs.getincrementaldecoder(codec)("replace"), translate=True)


def _texts(
    head: bytes,
    stream: IO[bytes],
    letters: io.IncrementalNewlineDecoder,
    progress: Callable[[int], None] | None,
) -> Iterator[str]:
    read, block = 0, head or stream.read(BLOCK)
    while block:
        yield letters.decode(block)
        read += len(block)
        if progress:
            progress(read)
        block = stream.read(BLOCK)
    yield letters.decode(b"", final=True)
