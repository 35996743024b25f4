"""A memory log beside the board: where its channels are, and which pads under their balls are known as damaged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Pad
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.board_map import ChannelPlace, channel_places
from jobkit.reckon.memory.failing_channels import ChannelResults, failing_words
from jobkit.reckon.memory.log_report import ChannelReport, LogReport, as_mapped


class LogOnBoard(NamedTuple):
    """A log, the places of its channels by name, and the damaged pads of the job by part and ball.

    `unmapped` are channels of the log that the memory map does not have, `untested` those of the map that neither
    the log nor the entry of the job has. `words` says what the channels with errors have in common.
    """

    report: LogReport
    design: Design | None = None
    job: Job | None = None
    places: Mapping[str, ChannelPlace] = {}
    pads: Mapping[tuple[str, str], Pad] = {}
    unmapped: tuple[str, ...] = ()
    untested: tuple[str, ...] = ()
    words: str = ""

    def channels(self) -> list[tuple[str, ChannelReport]]:
        """Return the channels of the log, those of the memory map first and in its order."""
        order = {channel: place for place, channel in enumerate(self.places)}
        return sorted(self.report.channels.items(), key=lambda item: order.get(item[0], len(order)))

    def ball(self, channel: str, line: int) -> str:
        """Return the ball of a data line; "" where the board file does not map it, or not every line of the log."""
        place = self.places.get(channel)
        return place.balls[line] if place and len(place.balls) == self.report.width else ""

    @property
    def unlike_balls(self) -> tuple[tuple[str, int], ...]:
        """The channels of the log whose list of balls is not as long as its words, with the balls listed."""
        listed = (
            (channel, len(self.places[channel].balls))
            for channel in self.report.channels
            if channel in self.places
        )
        return tuple((channel, balls) for channel, balls in listed if balls not in {0, self.report.width})

    def pad(self, channel: str, line: int) -> Pad | None:
        """Return the damaged pad under the ball of a data line, if one is written down."""
        place, ball = self.places.get(channel), self.ball(channel, line)
        return self.pads.get((place.part, ball)) if place and ball else None


def on_board(report: LogReport, design: Design | None, job: Job | None = None, name: str = "") -> LogOnBoard:
    """Set a log beside what is known of the board.

    What the test of the job that names this log wrote down as passed is known too: many logs hold errors alone.
    """
    if design is None or not design.memory:
        return LogOnBoard(report, design, job)
    mapped = design.channels()
    report = as_mapped(report, mapped)
    passed = {*report.passed, *_passed_in(job, name)} - {*report.failed}
    results = ChannelResults(
        frozenset(report.failed), frozenset(passed), "is not in the log", "are not in the log"
    )
    return LogOnBoard(
        report,
        design,
        job,
        channel_places(design),
        damaged_pads(job) if job else {},
        tuple(channel for channel in report.channels if channel not in mapped),
        tuple(channel for channel in mapped if channel not in report.channels and channel not in passed),
        failing_words(design, results),
    )


def _passed_in(job: Job | None, name: str) -> Iterator[str]:
    for seen in job.seen if job else ():
        if seen.log == name:
            yield from seen.passed


def damaged_pads(job: Job) -> Mapping[tuple[str, str], Pad]:
    """Return the damaged pads of a job by part and ball; of one written down twice, the last."""
    return {(pad.part, pad.ball): pad for pad in job.pads if pad.part and pad.ball}
