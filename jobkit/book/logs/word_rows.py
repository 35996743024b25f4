"""Rows of a memory log as words, and what a count of them may be."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.named_tuple import NamedTuple

MOST_TIMES = 10**12
"""A larger count is a slip, or another column."""


class WordRows(NamedTuple):
    """Rows of one channel: a line with the word written, a line with the word read, and so on.

    The words are in hexadecimal digits of the log's width. `times` is how often each row occurred; None if once.
    """

    channel: str
    words: str
    times: Sequence[int] | None


class WordForm(NamedTuple):
    """What a regular row is: channel, word written, word read, and how often where `counted`; `digits` a word."""

    separator: str
    digits: int
    counted: bool
