"""A memory test as it was written down, beside its log: where the two contradict each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from io import BytesIO
from posixpath import normpath

from jobkit.book.logs.kept import kept_options
from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.entries import Seen
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.log_on_board import LogOnBoard, on_board
from jobkit.reckon.memory.log_report import LogReport, as_mapped, report_on


class Contradiction(NamedTuple):
    """A channel of which entry and log say different things. `key` and `place` name what the entry says of it."""

    channel: str
    key: str
    place: int | None
    words: str


def report_of(seen: Seen, job: Job, bench: Bench) -> LogReport | LogTrouble | None:
    """Return what the log of a test tells, read as bench.toml says; None if it names no log that is there."""
    if seen.log is None:
        return None
    habit = bench.settings.logs.get("memory", LogHabit())
    path = normpath(attachment_path(job.path, seen.log))
    found = bench.contents.made_of(path, _reader(habit))
    why = "" if found else bench.contents.why_unread(path)
    return LogTrouble(0, why) if why else found


@cache
def _reader(habit: LogHabit) -> Callable[[bytes], LogReport | LogTrouble]:
    """Return the one function that reads logs of a habit, so that what it made is remembered."""
    return lambda content: report_on(BytesIO(content), kept_options(habit), habit.width)


class SeenLog(NamedTuple):
    """A memory test with its log beside the board; the trouble instead where the log cannot be used."""

    seen: Seen
    log: LogOnBoard | LogTrouble


def seen_logs(job: Job, bench: Bench) -> tuple[SeenLog, ...]:
    """Read the logs of all memory tests of a job; one whose file is not there is left out, which lint reports."""
    design = bench.designs.get(job.board.design or "")
    tests = ((one, one.log) for one in job.seen if one.log and is_memory_test(one, design))
    read = ((one, name, report_of(one, job, bench)) for one, name in tests)
    return tuple(
        SeenLog(one, told if isinstance(told, LogTrouble) else on_board(told, design, job, name))
        for one, name, told in read
        if told is not None
    )


def is_memory_test(seen: Seen, design: Design | None) -> bool:
    """Whether a test is one of the memory: it names channels of the memory map, or it is called one."""
    channels = design.channels() if design else ()
    return "memory" in (seen.check or "").casefold() or not {*seen.failed, *seen.passed}.isdisjoint(channels)


def contradictions(seen: Seen, report: LogReport, design: Design | None) -> Iterator[Contradiction]:
    """Yield each channel of which an entry and its log say different things, in the order of the entry."""
    report = as_mapped(report, design.channels() if design else ())
    channels = {*(design.channels() if design else ()), *report.channels}
    for place, channel in enumerate(seen.passed):
        if _errors(report, channel):
            words = f"is under passed, and has {_count(report, channel)} in the log"
            yield Contradiction(channel, "passed", place, words)
    for place, channel in enumerate(seen.failed):
        if channel in channels and not _errors(report, channel):
            shown = "no error" if channel in report.channels else "no row"
            yield Contradiction(channel, "failed", place, f"is under failed, and has {shown} in the log")
    for channel in report.failed:
        if channel not in seen.failed and channel not in seen.passed:
            words = f"has {_count(report, channel)} in the log, and is not under failed"
            yield Contradiction(channel, "failed", None, words)


def _count(report: LogReport, channel: str) -> str:
    errors = _errors(report, channel)
    return "1 error" if errors == 1 else f"{errors} errors"


def _errors(report: LogReport, channel: str) -> int:
    found = report.channels.get(channel)
    return found.counts.errors if found else 0
