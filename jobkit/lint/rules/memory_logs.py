"""The logs of memory tests: whether they agree with the entries."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, log_rule
from jobkit.reckon.memory.log_against_entry import contradictions, is_memory_test, report_of


@log_rule("error")
def log_contradicts(job: Job, bench: Bench) -> Iterator[Found]:
    """A memory test contradicts its log.

    What it finds: a [[seen]] whose log has errors of a channel under `passed`, none of a channel under `failed`, or
    some of a channel that the entry does not name.

    Why it matters: where to look for the fault, and what the client is told, depends on the channels that failed.

    How to fix: `jobkit memory JOB` shows the log. Correct `passed` and `failed`, or name the log of this test.

    Example: `passed = ["6L"]` with a log that has 230 errors of channel 6L.
    """
    design = bench.designs.get(job.board.design or "")
    for seen in job.seen:
        report = report_of(seen, job, bench)
        if report is None or isinstance(report, LogTrouble):
            continue
        for one in contradictions(seen, report, design):
            place = (*seen.path, one.key) if one.place is None else (*seen.path, one.key, one.place)
            message = f"{one.channel} {one.words} {seen.log}"
            yield Found(place, one.channel, message, "correct the channels, or name the log of this test")


@log_rule("warning")
def memory_log_unread(job: Job, bench: Bench) -> Iterator[Found]:
    """The log of a memory test cannot be read.

    What it finds: a memory test whose log lacks the columns channel, written and read, is empty, or has too many rows
    that cannot be read.

    Why it matters: what the test showed then depends on the entry alone.

    How to fix: save the log as CSV. If its columns have other names, write these under [logs.memory] in bench.toml.

    Example: a log whose header is "Lane;Pattern;Result".
    """
    design = bench.designs.get(job.board.design or "")
    for seen in job.seen:
        report = report_of(seen, job, bench) if is_memory_test(seen, design) else None
        if isinstance(report, LogTrouble):
            message = f"{seen.log} cannot be read as a memory log: {report.in_book('memory')}"
            yield Found(
                (*seen.path, "log"),
                seen.log or "",
                message,
                "save it as CSV, or name its columns in bench.toml",
            )
