"""A memory log on a page: which data lines fail and how, where they are, and what to run next."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.pages.bench.memory_data import memory_data
from jobkit.pages.bench.memory_words import (
    CAUTION,
    TELLS_APART,
    doubts,
    fault_words,
    pad_words,
    skipped_words,
    sure_words,
    word_fault_words,
    words_and_errors,
)
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title, filled
from jobkit.pages.client.board_drawing import MARK, memory_map
from jobkit.pages.words import counted, listed, share
from jobkit.reckon.memory.line_faults import Pattern
from jobkit.reckon.memory.log_on_board import LogOnBoard
from jobkit.reckon.memory.log_report import ChannelReport, LogReport

_HEADS = ("line", "ball", "read high", "read low", "share", "fault", "how sure", "pad")
_FIGURES = ("line", "read high", "read low", "share")


def memory_page(name: str, seen: LogOnBoard) -> Answer:
    """Show a memory log: the board first, then each channel with errors, then what to do next."""
    return Answer([*_blocks(name, seen)], memory_data(name, seen))


def _blocks(name: str, seen: LogOnBoard) -> Iterator[Block]:
    report = seen.report
    yield Title(f"Memory log {name}", 1)
    yield Pairs(list(_about(seen)))
    if report.errors == report.words:
        yield Line("No word of the log was read as it was written: every one has an error.")
    if not report.errors:
        yield Line("No word of the log has an error.")
        return
    yield from _board(seen)
    for channel, balls in seen.unlike_balls:
        yield Line(
            f"The board file lists {counted(balls, 'ball')} for {channel}, and the log has {report.width} lines "
            "a word, so no ball is named. `balls` needs one ball for each data line, in the order of the lines."
        )
    for channel, one in seen.channels():
        if one.counts.errors:
            yield from _channel(seen, channel, one)
    yield from _next(report)
    if any(one.faults.lines for one in report.channels.values()):
        yield from _tells_apart()


def _about(seen: LogOnBoard) -> Iterator[tuple[str, str]]:
    report = seen.report
    channels = counted(len(report.channels), "channel")
    yield "log", f"{words_and_errors(report.words, report.errors)} of {report.width} bits, {channels}"
    yield "guessed", "; ".join(report.guesses)
    if report.skipped:
        yield "skipped", skipped_words(report)
    yield "job", f"{seen.job.id}  {seen.job.title or ''}".rstrip() if seen.job else ""
    yield "design", seen.design.name if seen.design else ""
    yield "failing", seen.words
    yield "without errors", ", ".join(report.passed)
    yield "not in the log", ", ".join(seen.untested)
    if seen.unmapped:
        yield (
            "not on the board",
            f"{', '.join(seen.unmapped)}: the memory map of the board file does not have them",
        )


def _board(seen: LogOnBoard) -> Iterator[Block]:
    drawn = memory_map(seen.design, seen.report.failed) if seen.design else None
    if drawn and drawn.lines:
        yield Title(f"Memory, seen from the parts side with the edge connector below; {MARK} has errors")
        yield drawn.drawing


def _channel(seen: LogOnBoard, channel: str, one: ChannelReport) -> Iterator[Block]:
    place = seen.places.get(channel)
    where = listed(place.part, place.place, *(f"rail {rail}" for rail in place.rails)) if place else ""
    yield Title(f"Channel {channel}: {where}" if where else f"Channel {channel}")
    yield Line(f"{words_and_errors(one.counts.words, one.counts.errors)}.")
    for fault in one.faults.words:
        yield Line(
            f"{share(fault.words / one.counts.errors)} {word_fault_words(fault)} ({sure_words(fault)})."
        )
    if one.faults.lines:
        rows = [_line(seen, channel, one, place) for place in range(len(one.faults.lines))]
        yield filled(Table(_HEADS, rows, right=_FIGURES))
    told = " ".join(doubts(one.faults))
    if told:
        yield Line(told)


def _line(seen: LogOnBoard, channel: str, one: ChannelReport, place: int) -> tuple[str, ...]:
    fault = one.faults.lines[place]
    read_1, read_0 = one.counts.read_wrongly(fault.line)
    pad = seen.pad(channel, fault.line)
    return (
        str(fault.line),
        seen.ball(channel, fault.line),
        str(read_1),
        str(read_0),
        share((read_1 + read_0) / one.counts.errors),
        fault_words(fault),
        sure_words(fault),
        pad_words(pad) if pad else "",
    )


def _next(report: LogReport) -> Iterator[Block]:
    """Yield the patterns to run next, those first that settle most."""
    faults = [one.faults for one in report.channels.values()]
    lines = {fault.next for one in faults for fault in one.lines}
    words = {fault.next for one in faults for fault in one.words}
    rows = [(pattern.value, _SHOWS[pattern]) for pattern in Pattern if pattern in lines | words]
    if rows:
        yield Title("Patterns to run next")
        yield Table(("pattern", "what it shows"), rows)


_SHOWS = {
    Pattern.ONES: "whether a line that fails as 0 is also read wrongly as 1",
    Pattern.ZEROS: "whether a line that fails as 1 is also read wrongly as 0",
    Pattern.WALKING: "with which line another one is bridged, if it is",
    Pattern.ADDRESS: "from which address a wrong word came, or that it is inverted",
    Pattern.AGAIN: "whether the same lines fail again",
}


def _tells_apart() -> Iterator[Block]:
    yield Title("Pad, joint, package or processor side")
    yield Line(
        "The log names data lines as the test counts them; boards swap bits and bytes between processor and package. "
        "What tells the places of a fault apart:"
    )
    yield Table(("check", "it shows", "then it is"), TELLS_APART)
    yield Line(CAUTION)
