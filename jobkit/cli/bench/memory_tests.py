"""A memory test as it is written down: what its log fills in, and what is said of the board at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
from jobkit.reckon.entry.value_parsing import JotError
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

    `failed 6l passed rest` fails 6L and passes all other channels. Raises JotError where a channel failed and passed,
    or where `rest` has no meaning.
    """
    channels = design.channels() if design else ()
    spelled = {channel.casefold(): channel for channel in channels}
    filled = dict(entry)
    for key in ("passed", "failed"):
        if key in entry:
            filled[key] = [spelled.get(name.casefold(), name) for name in entry[key]]
    for key, other in (("passed", "failed"), ("failed", "passed")):
        if REST in filled.get(key, ()):
            filled[key] = _with_rest(filled[key], filled.get(other, ()), channels)
    both = [name for name in filled.get("failed", ()) if name in filled.get("passed", ())]
    if both:
        raise JotError(
            f"{', '.join(both)} cannot have failed and passed in one test", "name each channel once"
        )
    return filled


def _with_rest(names: Sequence[str], others: Sequence[str], channels: Sequence[str]) -> list[str]:
    """Write out `rest`: the channels that neither list names."""
    if not channels:
        raise JotError(
            f"`{REST}` has no meaning here: no board file maps the memory of this board", "name the channels"
        )
    if REST in others:
        raise JotError(
            f"`{REST}` can be written once: after failed or after passed", "name the channels of the other"
        )
    named = [name for name in names if name != REST]
    return [*named, *(channel for channel in channels if channel not in {*named, *others})]


def with_log(entry: dict[str, Any], report: LogReport, design: Design | None) -> dict[str, Any]:
    """Return an entry with what its log tells: the check, and channels that failed and passed.

    What the person says stays as it is.
    """
    checks = [check.name for check in design.checks if check.name] if design else []
    usual = next((check for check in checks if _MEMORY in check), "memory test")
    said = {name.casefold() for key in ("passed", "failed") for name in entry.get(key, ())}
    passed, failed = (
        [one for one in names if one.casefold() not in said] for names in (report.passed, report.failed)
    )
    told = {"check": usual, "passed": passed, "failed": failed}
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
