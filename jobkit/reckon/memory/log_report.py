"""What a memory log tells: its channels with their counts and faults, and how it was read."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import IO

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions, Progress
from jobkit.book.logs.memory import MemoryLog
from jobkit.book.logs.trouble import LogTrouble
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.channel_counts import ChannelCounts
from jobkit.reckon.memory.channel_faults import ChannelFaults, channel_faults
from jobkit.reckon.memory.log_counts import LogCounts


class ChannelReport(NamedTuple):
    """One channel: what was counted and what it means."""

    counts: ChannelCounts
    faults: ChannelFaults


class LogReport(NamedTuple):
    """A whole log. `skipped` are rows that could not be read, of `rows`; `examples` the first of them."""

    width: int
    rows: int
    skipped: int
    examples: tuple[LogTrouble, ...]
    guesses: tuple[str, ...]
    channels: Mapping[str, ChannelReport]

    @property
    def words(self) -> int:
        """The words of the log: its rows, each as often as it occurred."""
        return sum(one.counts.words for one in self.channels.values())

    @property
    def errors(self) -> int:
        """The words that were not read as they were written."""
        return sum(one.counts.errors for one in self.channels.values())

    @property
    def failed(self) -> tuple[str, ...]:
        """The channels with errors."""
        return tuple(name for name, one in self.channels.items() if one.counts.errors)

    @property
    def passed(self) -> tuple[str, ...]:
        """The channels without errors of which the log has words."""
        return tuple(name for name, one in self.channels.items() if not one.counts.errors)


def as_mapped(report: LogReport, mapped: Collection[str]) -> LogReport:
    """Return a log with its channels as the memory map writes them, where they differ in small and capital letters."""
    spelled = {name.casefold(): name for name in mapped}
    names = {name: spelled.get(name.casefold(), name) for name in report.channels}
    if len(set(names.values())) < len(names):
        return report  # the log tells 6l and 6L apart
    return report._replace(channels={names[name]: one for name, one in report.channels.items()})


def report_on(
    stream: IO[bytes], options: LogOptions = ALL_GUESSED, width: int = 0, progress: Progress | None = None
) -> LogReport | LogTrouble:
    """Read a memory log; a trouble for one that cannot be used.

    `width` is the bits of a word where the log leaves out leading zeros; 0 if its words tell it. A log of another form,
    and one with too many rows that cannot be read, are troubles with the first line that shows it.
    """
    log = MemoryLog(stream, options, (width + 3) // 4, progress)
    counts: LogCounts | None = None
    for rows in log.rows():
        if counts is None:
            counts = LogCounts(4 * log.digits)
        counts.add(*rows)
    if log.refusal or counts is None:
        return log.refusal or LogTrouble(0, "no row of the log can be read")
    channels = {
        name: ChannelReport(one, channel_faults(one))
        for name, one in sorted(counts.channels().items(), key=_by_name)
    }
    skipped = log.log.skipped
    return LogReport(
        4 * log.digits, log.log.rows, skipped.count, tuple(skipped.examples), tuple(log.log.guesses), channels
    )


def _by_name(item: tuple[str, object]) -> tuple[int, str]:
    """Sort 9L before 10L."""
    name = item[0]
    digits = name[: len(name) - len(name.lstrip("0123456789"))]
    return int(digits) if digits and len(digits) < 9 else 0, name
