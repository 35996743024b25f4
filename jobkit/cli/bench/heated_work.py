"""A piece of work that is written down with its thermocouple log: the verdict is said at once."""

from __future__ import annotations

from typing import Any

from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import decode
from jobkit.book.write.entry import append_apart
from jobkit.cli.bench.writing import Writing
from jobkit.jobs.job import Job
from jobkit.pages.client.heat_logs import verdict_words
from jobkit.reckon.entry.value_parsing import JotError
from jobkit.reckon.heat.work_log import heat_log_of


def heat_lines(writing: Writing, job: Job, entry: dict[str, Any]) -> tuple[str, ...]:
    """Say what the log of the work shows; raises JotError for a log that cannot be used."""
    text = decode(writing.book.shelf.read(job.path))
    loaded = load_job(job.path, append_apart(text, table=("work",), entry=entry).encode())
    if loaded.job is None or not loaded.job.work:
        return ()
    evidence = heat_log_of(loaded.job.work[-1], loaded.job, writing.book.bench)
    if evidence is None:
        return ()
    if evidence.trouble:
        raise JotError(f"{entry['heat']}: {evidence.trouble}", "correct the log, or leave it out")
    missing = [f"    the log has no column {column}" for column in evidence.missing]
    return (f"    log: {verdict_words(evidence)}", *missing)
