"""A memory test as it is written down: what its log fills in, and what is said of the board at once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jobkit.book.disk.reading import open_beneath
from jobkit.book.logs.kept import kept_options
from jobkit.book.logs.trouble import LogTrouble
from jobkit.cli.bench.writing import Writing
from jobkit.cli.call.progress import progress_bar
from jobkit.jobs.design import Design
from jobkit.jobs.job import Job
from jobkit.jobs.settings import LogHabit
from jobkit.pages.bench.memory_words import words_and_errors
from jobkit.reckon.memory.failing_channels import ChannelResults, failing_words
from jobkit.reckon.memory.log_report import LogReport, report_on

REST = "rest"
"""Stands for all other channels of the memory map."""

_MEMORY = "memory"


def design_of(writing: Writing, job: Job) -> Design | None:
    """Return the design of a job's board, if there is a board file."""
    return writing.book.bench.designs.get(job.board.design or "")


def with_channels(entry: dict[str, Any], design: Design | None) -> dict[str, Any]:
    """Return an entry with its channels as the memory map writes them, and `rest` written out.

    `failed 6l passed rest` fails 6L and passes all other channels.
    """
    channels = design.channels() if design else ()
    spelled = {channel.casefold(): channel for channel in channels}
    filled = dict(entry)
    for key in ("passed", "failed"):
        if key in entry:
            filled[key] = [spelled.get(name.casefold(), name) for name in entry[key]]
    for key, other in (("passed", "failed"), ("failed", "passed")):
        if channels and filled.get(key) == [REST]:
            filled[key] = [channel for channel in channels if channel not in filled.get(other, ())]
    return filled


def with_log(entry: dict[str, Any], report: LogReport, design: Design | None) -> dict[str, Any]:
    """Return an entry with what its log tells: the check, and channels that failed and passed.

    What the person says stays as it is.
    """
    checks = [check.name for check in design.checks if check.name] if design else []
    usual = next((check for check in checks if _MEMORY in check), "memory test")
    told = {"check": usual, "passed": list(report.passed), "failed": list(report.failed)}
    return {**{key: value for key, value in told.items() if value}, **entry}


def read_log(writing: Writing, path: str) -> LogReport | LogTrouble:
    """Read a log of the book as bench.toml says; a trouble if it is not a memory log that can be used."""
    habit = writing.book.bench.settings.logs.get(_MEMORY, LogHabit())
    with open_beneath(str(writing.root), path) as stream:
        size = stream.seek(0, 2)
        stream.seek(0)
        with progress_bar(f"reading {path}", size) as progress:
            return report_on(stream, kept_options(habit), habit.width, progress)


def log_lines(report: LogReport | LogTrouble, entry: dict[str, Any], design: Design | None) -> Iterator[str]:
    """Say what a log told, and which channels of the board neither it nor the entry mentions."""
    if isinstance(report, LogTrouble):
        yield f"    not read as a memory log, so it fills nothing in: {report.words()}"
        return
    yield f"    log: {words_and_errors(report.words, report.errors)}"
    told = {*report.channels, *entry.get("passed", ()), *entry.get("failed", ())}
    missing = [channel for channel in design.channels() if channel not in told] if design else []
    if missing and REST not in told:
        yield f"    not in the log: {', '.join(missing)}; if the test covered them, write `passed {REST}` too"


def board_lines(entry: dict[str, Any], design: Design | None) -> Iterator[str]:
    """Say where the channels of an entry that failed are, and what they have in common."""
    results = ChannelResults(frozenset(entry.get("failed", ())), frozenset(entry.get("passed", ())))
    words = failing_words(design, results) if design else ""
    if words:
        yield f"    {words}"
