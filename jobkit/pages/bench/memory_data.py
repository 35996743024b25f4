"""A memory log as data."""

from __future__ import annotations

from jobkit.jobs.entries import Pad
from jobkit.pages.forms.data import Data
from jobkit.reckon.memory.channel_faults import WordFault
from jobkit.reckon.memory.line_faults import LineFault
from jobkit.reckon.memory.log_on_board import LogOnBoard
from jobkit.reckon.memory.log_report import ChannelReport


def memory_data(name: str, seen: LogOnBoard) -> Data:
    """Give a memory log with all its channels, those without errors too."""
    report = seen.report
    return {
        "log": name,
        "design": seen.design.name if seen.design else None,
        "job": seen.job.id if seen.job else None,
        "width": report.width,
        "words": report.words,
        "errors": report.errors,
        "failing": seen.words or None,
        "channels": [_channel(seen, channel, one) for channel, one in seen.channels()],
        "untested": list(seen.untested),
        "guesses": list(report.guesses),
        "rows": report.rows,
        "skipped": {
            "count": report.skipped,
            "examples": [{"line": one.line, "message": one.message} for one in report.examples],
        },
    }


def _channel(seen: LogOnBoard, channel: str, one: ChannelReport) -> Data:
    place = seen.places.get(channel)
    return {
        "channel": channel,
        "part": place.part if place else None,
        "place": place.place or None if place else None,
        "rails": list(place.rails) if place else [],
        "words": one.counts.words,
        "errors": one.counts.errors,
        "lines": [
            _line(seen, channel, one, line)
            for line in range(one.counts.width)
            if any(one.counts.read_wrongly(line))
        ],
        "faults": [_word_fault(fault) for fault in one.faults.words],
        "never_written_as_0": list(one.faults.unwritten_0),
        "never_written_as_1": list(one.faults.unwritten_1),
    }


def _line(seen: LogOnBoard, channel: str, one: ChannelReport, line: int) -> Data:
    read_1, read_0 = one.counts.read_wrongly(line)
    fault = next((fault for fault in one.faults.lines if fault.line == line), None)
    return {
        "line": line,
        "ball": seen.ball(channel, line) or None,
        "read_0_as_1": read_1,
        "read_1_as_0": read_0,
        "share": (read_1 + read_0) / one.counts.errors,
        **_fault(fault),
        "pad": _pad(seen.pad(channel, line)),
    }


def _fault(fault: LineFault | None) -> Data:
    if fault is None:
        return dict.fromkeys(("fault", "partner", "how", "agrees", "always", "sure", "next")) | {
            "maybe_with": []
        }
    return {
        "fault": fault.fault,
        "partner": fault.partner,
        "how": fault.how or None,
        "agrees": fault.agrees,
        "always": fault.always,
        "sure": fault.sure.value,
        "next": fault.next.value if fault.next else None,
        "maybe_with": list(fault.maybe_with),
    }


def _word_fault(fault: WordFault) -> Data:
    return {
        "fault": fault.fault,
        "words": fault.words,
        "bytes": list(fault.bytes),
        "sure": fault.sure.value,
        "next": fault.next.value if fault.next else None,
    }


def _pad(pad: Pad | None) -> Data | None:
    return {"damage": pad.damage, "repaired": pad.repaired} if pad else None
