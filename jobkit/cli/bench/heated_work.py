"""A piece of work that is written down with its thermocouple log: the verdict is said at once."""

from __future__ import annotations

from typing import Any

from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import decode
from jobkit.book.write.entry import append_apart
from jobkit.cli.bench.writing import Writing
from jobkit.jobs.job import Job
from jobkit.pages.client.heat_logs import verdict_words
from jobkit.pages.words import listed
from jobkit.reckon.entry.value_parsing import JotError
from jobkit.reckon.heat.work_log import PLACE_UNKNOWN, HeatEvidence, free_places, heat_log_of


def heat_lines(writing: Writing, job: Job, entry: dict[str, Any], *, as_is: bool) -> tuple[str, ...]:
    """Say what the log of the work shows; raises JotError for a log that cannot be used.

    Unless the entry is to be taken `as_is`, a log of which `probe` says nothing cannot be used either.
    """
    text = decode(writing.book.shelf.read(job.path))
    loaded = load_job(job.path, append_apart(text, table=("work",), entry=entry).encode())
    if loaded.job is None or not loaded.job.work:
        return ()
    evidence = heat_log_of(loaded.job.work[-1], loaded.job, writing.book.bench)
    if evidence is None:
        return ()
    if evidence.trouble:
        raise JotError(f"{entry['heat']}: {evidence.trouble}", "correct the log, or leave it out")
    if not as_is:
        _refuse_unplaced(evidence)
    missing = [f"    the log has no column {column}" for column in evidence.missing]
    return (f"    log: {verdict_words(evidence)}", *missing)


def _refuse_unplaced(evidence: HeatEvidence) -> None:
    """Raise JotError where the entry leaves out the place of a thermocouple, with words to type for all of them."""
    unknown = {check.column for check in evidence.checks if check.why == PLACE_UNKNOWN}
    said = {one.probe.column: one.probe.text for one in evidence.columns}
    unplaced = [column for column, text in said.items() if not text and column in unknown]
    if not unplaced:
        return
    free = free_places(evidence)
    places = {column: text or next(free) for column, text in said.items()}
    words = ",".join(f"{column}={place}" for column, place in places.items())
    raise JotError(
        f"where {listed(*unplaced)} of {evidence.work.heat} sat is not said, so the log gives no verdict",
        f'add the places, as in `probe "{words}"`, or use --as-is to leave them open',
    )
