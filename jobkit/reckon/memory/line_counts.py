"""What is counted a data line and a pair of lines, over some words of a channel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from operator import or_

Count = Callable[[int], int]
"""Returns how often the words of a plane occurred."""


class LineCounts:
    """Counts over some words of a channel; a word counts as often as it occurred. Nothing depends on their order.

    `wrong_words` are words that were not read as written. For line i: `ones[i]` words in which it was written as 1,
    `read_1[i]` words in which it was written as 0 and read as 1, `read_0[i]` words in which it was written as 1 and
    read as 0. For a pair: `both[i][j]`, j < i, words in which both were written as 1; `read_1_with[i][j]` and
    `read_0_with[i][j]`, errors of line i in words in which j was written as 1.
    """

    def __init__(self, width: int) -> None:
        self.words = 0
        self.wrong_words = 0
        self.ones = [0] * width
        self.read_1 = [0] * width
        self.read_0 = [0] * width
        self.both = [[0] * line for line in range(width)]
        self.read_1_with = [[0] * width for _ in range(width)]
        self.read_0_with = [[0] * width for _ in range(width)]

    def errors(self, line: int) -> int:
        """Return in how many words a line was read wrongly."""
        return self.read_1[line] + self.read_0[line]

    def written(self, line: int, other: int) -> tuple[int, int, int, int]:
        """Return in how many words a line and another were written as 00, 01, 10 and 11."""
        both = self.both[max(line, other)][min(line, other)]
        only_line, only_other = self.ones[line] - both, self.ones[other] - both
        return self.words - both - only_line - only_other, only_other, only_line, both

    def wrong(self, line: int, other: int) -> tuple[int, int, int, int]:
        """Return in how many words a line was read wrongly while it and another were written as 00, 01, 10 and 11."""
        with_0, with_1 = self.read_1_with[line][other], self.read_0_with[line][other]
        return self.read_1[line] - with_0, with_0, self.read_0[line] - with_1, with_1

    def add(self, written: Sequence[int], failing: Sequence[int], mask: int, count: Count) -> None:
        """Count the words of a mask; `written` and `failing` are the planes of the lines."""
        self.words += count(mask)
        self.wrong_words += count(mask & reduce(or_, failing))
        written = [plane & mask for plane in written]
        for line, plane in enumerate(written):
            self.ones[line] += count(plane)
            _count_with(self.both[line], plane, written[:line], count)
        for line, plane in enumerate(failing):
            wrong = plane & mask
            if wrong:
                as_0 = wrong & written[line]
                self.read_0[line] += count(as_0)
                self.read_1[line] += count(wrong ^ as_0)
                _count_with(self.read_0_with[line], as_0, written, count)
                _count_with(self.read_1_with[line], wrong ^ as_0, written, count)

    def merge(self, other: LineCounts) -> None:
        """Add the counts of other words."""
        self.words += other.words
        self.wrong_words += other.wrong_words
        for mine, theirs in (
            (self.ones, other.ones),
            (self.read_1, other.read_1),
            (self.read_0, other.read_0),
            *zip(self.both, other.both, strict=True),
            *zip(self.read_1_with, other.read_1_with, strict=True),
            *zip(self.read_0_with, other.read_0_with, strict=True),
        ):
            mine[:] = [one + more for one, more in zip(mine, theirs, strict=True)]


def _count_with(counts: list[int], plane: int, others: Sequence[int], count: Count) -> None:
    """Add to the counts of a line with each of the others."""
    if plane:
        counts[:] = [known + count(plane & other) for known, other in zip(counts, others, strict=True)]
