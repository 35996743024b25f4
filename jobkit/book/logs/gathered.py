"""A whole log of numbers over time, gathered column by column: what logs of loaded runs and of heat share."""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import IO

from jobkit.book.logs.columns import ALL_GUESSED, LogOptions, Progress
from jobkit.book.logs.series import Channel, Series
from jobkit.book.logs.times import Jump
from jobkit.book.logs.trouble import LogTrouble, Skipped, quoted
from jobkit.named_tuple import NamedTuple


class Gathered(NamedTuple):
    """A log: the seconds since its first row, never falling, and the values of its columns by their names.

    `kept` are the columns that can be used, `refused` says of the others why not. `gaps` are the first places at which
    the time jumps.
    """

    seconds: array[float]
    values: Mapping[str, array[float]]
    kept: tuple[Channel, ...]
    refused: Mapping[Channel, LogTrouble]
    guesses: tuple[str, ...]
    skipped: Skipped
    gaps: tuple[Jump, ...]
    begun: datetime | None = None

    def skipped_words(self) -> Iterator[str]:
        """Say how many rows were skipped, and the first of them."""
        if self.skipped.count:
            rows = "row" if self.skipped.count == 1 else "rows"
            yield f"{self.skipped.count} {rows} skipped: {self.skipped.examples[0].words()}"


def gather(
    stream: IO[bytes],
    options: LogOptions = ALL_GUESSED,
    progress: Progress | None = None,
    most: int | None = None,
) -> Gathered | LogTrouble:
    """Read all rows of a log, or say why it cannot be used.

    A log whose time goes back is refused, and one that has more than `most` rows.
    """
    series = Series(stream, options, progress)
    times, values = array("d"), defaultdict[str, "array[float]"](lambda: array("d"))
    for samples in series.batches():
        times.extend(samples.seconds)
        if most is not None and len(times) > most:
            message = f"the log has more than {most} rows"
            return LogTrouble(samples.lines[-1], message, "export it with fewer: ten a second are plenty")
        for channel, some in zip(series.channels, samples.values, strict=True):
            values[channel.name].extend(some)
    trouble = series.refusal or _time_trouble(series)
    if trouble:
        return trouble
    refusals = {one: one.refusal(series.log.rows, options.bad_share) for one in series.channels}
    refused = {channel: why for channel, why in refusals.items() if why}
    kept = tuple(one for one in series.channels if one not in refused)
    if not kept:
        return _nothing_left(refused)
    first = times[0]
    since = array("d", (time - first for time in times)) if first else times
    begun = series.clock.start
    return Gathered(
        since, values, kept, refused, series.guesses(), series.log.skipped, series.clock.jumps, begun
    )


def skipped_cells(channel: Channel) -> Iterator[str]:
    """Say how many cells of a column hold something else than a number, and the first of them."""
    if channel.bad.count:
        cells = "cell" if channel.bad.count == 1 else "cells"
        yield f"{channel.bad.count} {cells} of {quoted(channel.name)} skipped: {channel.bad.examples[0].words()}"


def _nothing_left(refused: Mapping[Channel, LogTrouble]) -> LogTrouble:
    """Refuse a log of which no column is left; where one was refused, say why."""
    return next(iter(refused.values()), LogTrouble(1, "the log has no column of numbers beside the time"))


def _time_trouble(series: Series) -> LogTrouble | None:
    """Refuse a log whose time goes back: two logs in one file, or a clock that was set."""
    back = series.clock.back
    if back is None:
        return None
    return back.trouble()._replace(fix="cut the log in two there, or correct its times")
