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
from jobkit.pages.bench.memory_words import skipped_words, words_and_errors
from jobkit.pages.words import counted
from jobkit.reckon.entry.value_parsing import JotError
from jobkit.reckon.memory.failing_channels import ChannelResults, failing_words
from jobkit.reckon.memory.log_report import LogReport, as_mapped, report_on

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


def refuse_log(report: LogReport | LogTrouble, entry: dict[str, Any], design: Design | None) -> None:
    """Raise JotError for a log that fills nothing in where it has to, or that has channels of another board."""
    name = entry["log"]
    if isinstance(report, LogTrouble):
        if "check" not in entry:
            trouble = f"{name}: {report.in_book(_MEMORY)}"
            raise JotError(trouble, f"{_typed('--log', name)}, to name it all the same")
        return
    channels = design.channels() if design else ()
    strange = [one for one in as_mapped(report, channels).channels if one not in channels]
    if design and channels and strange:
        words = counted(sum(report.channels[one].counts.words for one in strange), "row")
        message = (
            f"{name} has {words} of {', '.join(strange)}, which the memory map of {design.name} does not have"
        )
        raise JotError(message, f"correct the log or {design.path}, or use --as-is if the log is right")


def refuse_results(entry: dict[str, Any], design: Design | None) -> None:
    """Raise JotError for results of no check, and for names that a memory test of this board cannot mean."""
    results = [name for key in ("failed", "passed") for name in entry.get(key, ())]
    if "check" not in entry:
        key = "failed" if entry.get("failed") else "passed"
        raise JotError("the check is not named", _typed(key, ",".join(entry.get(key, ()))))
    if design is None or not design.memory or _MEMORY not in str(entry["check"]).casefold():
        return
    for name in results:
        if meant := _meant(name, design):
            raise JotError(f"{name} is not a memory channel of {design.name}", f"write {meant}")
    said = str(entry.get("what", "")).replace(",", " ").split()
    if said and not results and all(_is_channel(name, design) for name in said):
        shown = ",".join(said)
        raise JotError(
            f"{shown} alone does not say how the test ended", f"write `failed {shown}` or `passed {shown}`"
        )


def _typed(key: str, words: str) -> str:
    rest = f" {key} {words}" if words else ""
    return f'write the check first, as in `jobkit jot seen "memory test"{rest}`'


def _is_channel(name: str, design: Design) -> bool:
    return name.casefold() in {channel.casefold() for channel in design.channels()}


def _meant(name: str, design: Design) -> str:
    """Say which channels a name may mean that is none; "" where nothing is near."""
    small = name.casefold()
    if _is_channel(name, design) or small == REST:
        return ""
    if small in {"all", "every", "both"}:
        return f"`{REST}`, which means all other channels"
    package = next((one for one in design.memory if (one.part or "").casefold() == small), None)
    channels = (
        package.channels
        if package
        else [one for one in design.channels() if one.casefold().startswith(small)]
    )
    alone = "" if package or len(channels) < 2 else f"{' or '.join(channels)}, or all of them as "
    return f"{alone}{','.join(channels)}" if channels else ""


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
        yield f"    not read as a memory log, so it fills nothing in: {report.in_book(_MEMORY)}"
        return
    yield f"    log: {words_and_errors(report.words, report.errors)}"
    if report.skipped:
        yield f"    skipped: {skipped_words(report)}"
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
