"""What is counted of one channel of a memory log; nothing depends on the order of its rows."""

from __future__ import annotations

from array import array
from collections.abc import Sequence, Set
from functools import reduce
from operator import and_, or_

from jobkit.reckon.memory.line_counts import Count, LineCounts
from jobkit.reckon.memory.planes import Weights, more_than, patterns, word_pairs

PATTERNS_KEPT = 64
"""So many different words or more are not told apart: they tell no more about which lines belong together."""


class ChannelCounts:
    """Counts over the words of one channel, by how many lines of a word were read wrongly.

    `few` are the words without errors and those in which few lines failed, `bytes` those in which whole bytes were
    inverted, but not the whole word, and `many` all others.
    """

    def __init__(self, width: int) -> None:
        self.width = width
        self.errors = 0
        self.few, self.bytes, self.many = LineCounts(width), LineCounts(width), LineCounts(width)
        self.inverted = [0] * (width // 8)
        """By byte, the low one first: words of `bytes` in which it was inverted."""
        self.inverted_words = 0
        """Words in which every line was read wrongly."""
        self.wrong_patterns: set[int] | None = set()
        """Different words, as written, of those that were read wrongly; None if there are too many to keep."""
        self.written_patterns: set[int] | None = set()
        """Different words that were written."""

    @property
    def words(self) -> int:
        """The words of the channel."""
        return sum(part.words for part in self.parts)

    @property
    def parts(self) -> tuple[LineCounts, ...]:
        """The counts by class of word."""
        return self.few, self.bytes, self.many

    def add(self, words: str, times: array[int] | None = None) -> None:
        """Count words: lines with a word written and a word read in turn, and how often each of these rows occurred.

        Without `times` each occurred once. Raises ValueError if a line is not a hexadecimal word of the channel's
        width, and then counts none.
        """
        written, read, every = word_pairs(words, self.width)
        count = Weights(times).count if times else int.bit_count
        failing = [one ^ other for one, other in zip(written, read, strict=True)]
        wrong = reduce(or_, failing)
        self.errors += count(wrong)
        self.inverted_words += count(reduce(and_, failing))
        self.wrong_patterns = _together(self.wrong_patterns, patterns(written, wrong, PATTERNS_KEPT))
        self.written_patterns = _together(self.written_patterns, patterns(written, every, PATTERNS_KEPT))
        in_bytes, many = self._in_bytes(failing, count), more_than(self._many, failing)
        for counts, mask in (
            (self.few, every & ~in_bytes & ~many),
            (self.bytes, in_bytes),
            (self.many, many & ~in_bytes),
        ):
            if mask:
                counts.add(written, failing, mask, count)

    def merge(self, other: ChannelCounts) -> None:
        """Add the counts of another log of the same channel and width."""
        self.errors += other.errors
        self.inverted_words += other.inverted_words
        self.few.merge(other.few)
        self.bytes.merge(other.bytes)
        self.many.merge(other.many)
        self.inverted = [one + more for one, more in zip(self.inverted, other.inverted, strict=True)]
        self.wrong_patterns = _together(self.wrong_patterns, other.wrong_patterns)
        self.written_patterns = _together(self.written_patterns, other.written_patterns)

    def read_wrongly(self, line: int) -> tuple[int, int]:
        """Return in how many words a 0 on a line was read as 1, and a 1 as 0."""
        return sum(part.read_1[line] for part in self.parts), sum(part.read_0[line] for part in self.parts)

    @property
    def _many(self) -> int:
        """So many lines may fail before a word is one of `many`: a quarter of them, and three at least."""
        return max(3, self.width // 4)

    def _in_bytes(self, failing: Sequence[int], count: Count) -> int:
        """Return the plane of the words in which whole bytes are inverted and nothing else, but not the whole word."""
        if self.width % 8:
            return 0
        lanes = [failing[first : first + 8] for first in range(0, self.width, 8)]
        whole = [reduce(and_, lane) for lane in lanes]
        partly = reduce(or_, (reduce(or_, lane) ^ full for lane, full in zip(lanes, whole, strict=True)))
        in_bytes = reduce(or_, whole) & ~partly & ~reduce(and_, whole)
        if in_bytes:
            masked = (full & in_bytes for full in whole)
            self.inverted = [known + count(full) for known, full in zip(self.inverted, masked, strict=True)]
        return in_bytes


def _together(known: set[int] | None, more: set[int] | None) -> set[int] | None:
    """Return the words of both sets; None if they are too many."""
    if known is None or more is None:
        return None
    both = known | more
    return both if len(both) < PATTERNS_KEPT else None


def pattern_count(kept: Set[int] | None) -> int:
    """Return how many different words were kept; `PATTERNS_KEPT` for too many."""
    return PATTERNS_KEPT if kept is None else len(kept)
