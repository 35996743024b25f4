"""What is counted of a whole memory log, by channel."""

from __future__ import annotations

from array import array
from collections.abc import Mapping, Sequence

from jobkit.reckon.memory.channel_counts import ChannelCounts

_GATHERED = 1 << 18
"""So many rows are gathered, as texts of some bytes each, before they are counted: many at once are quicker."""


class LogCounts:
    """Counts the rows of a log whose words have `width` bits."""

    def __init__(self, width: int) -> None:
        self.width = width
        self._counted: dict[str, ChannelCounts] = {}
        self._gathered: dict[str, _Rows] = {}
        self._rows = 0

    def add(self, channel: str, words: str, times: Sequence[int] | None = None) -> None:
        """Add rows of a channel: lines with a word written and a word read in turn, and how often each row occurred.

        The words are hexadecimal and of the width. Without `times` each row occurred once.
        """
        rows = self._gathered.get(channel)
        if rows is None:
            rows = self._gathered[channel] = _Rows()
        self._rows += rows.add(words, times)
        if self._rows >= _GATHERED:
            self._count()

    def channels(self) -> Mapping[str, ChannelCounts]:
        """Return the counts by channel."""
        self._count()
        return self._counted

    def _count(self) -> None:
        for channel, rows in self._gathered.items():
            counts = self._counted.get(channel)
            if counts is None:
                counts = self._counted[channel] = ChannelCounts(self.width)
            counts.add("\n".join(rows.words), rows.times or None)
        self._gathered.clear()
        self._rows = 0


class _Rows:
    """Rows of a channel that are not counted yet; `times` is empty as long as each occurred once."""

    def __init__(self) -> None:
        self.words: list[str] = []
        self.times: array[int] = array("Q")
        self._length = 0

    def add(self, words: str, times: Sequence[int] | None) -> int:
        """Add rows and return how many."""
        rows = (words.count("\n") + 1) // 2
        self.words.append(words)
        if times is not None and not self.times:
            self.times = array("Q", [1]) * self._length
        if times is not None:
            self.times.extend(times)
        elif self.times:
            self.times.extend(array("Q", [1]) * rows)
        self._length += rows
        return rows
