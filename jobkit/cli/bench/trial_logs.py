"""A trial that is written down with its log: the log gives minutes and result, and the verdict is said at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jobkit.book.read.load import load_job
from jobkit.book.schema.entry_keys import keys_of
from jobkit.book.toml.parse import decode
from jobkit.book.write.entry import append_apart
from jobkit.cli.bench.writing import Writing
from jobkit.jobs.job import Job
from jobkit.reckon.entry.trial_log import filled_in
from jobkit.reckon.entry.value_parsing import JotError
from jobkit.reckon.load_run.check import Check
from jobkit.reckon.load_run.trial import Evidence, evidence_of


def filled_by_log(
    writing: Writing, job: Job, entry: Mapping[str, Any]
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Fill in what the log of a trial shows, and give the lines that say it; raises JotError.

    A trial without a log, or with one that is not of a loaded run, stays as it is.
    """
    evidence = _evidence(writing, job, entry)
    if evidence is None:
        return dict(entry), ()
    if evidence.trouble:
        raise JotError(f"{entry['log']}: {evidence.trouble}", "correct the log, or leave it out")
    filled = filled_in(entry, evidence)
    order = [key.name for key in keys_of(("trial",))]
    return {key: filled[key] for key in sorted(filled, key=order.index)}, tuple(_lines(evidence))


def unchecked_lines(kind: str, entry: Mapping[str, Any]) -> Iterator[str]:
    """Say which limits of a trial no log bears out; `kind` is the kind of entry."""
    if kind == "trial" and entry.get("limit") and "log" not in entry:
        limits = ", ".join(f"{sensor} {limit}" for sensor, limit in entry["limit"].items())
        yield f"    not checked against a log: {limits}"


def _evidence(writing: Writing, job: Job, entry: Mapping[str, Any]) -> Evidence | None:
    """Read the log as that of the trial which the entry will be."""
    text = decode(writing.book.shelf.read(job.path))
    trial = {"result": "stopped", **entry}
    loaded = load_job(job.path, append_apart(text, table=("trial",), entry=trial).encode())
    if loaded.job is None or not loaded.job.trials:
        return None
    return evidence_of(loaded.job.trials[-1], loaded.job, writing.book.bench)


def _lines(evidence: Evidence) -> Iterator[str]:
    run = evidence.run
    if run:
        yield f"    log: {run.minutes:.1f} min under load, {run.rows} rows"
    for check in evidence.checks:
        yield f"    {_check_line(check)}"


def _check_line(check: Check) -> str:
    """Say a check: "hot spot 89.1 °C in (<= 95 °C)"."""
    limit = f" ({check.limit.text})" if check.limit else ""
    why = f", {check.why}" if check.why else ""
    if check.value is None or not check.word:
        return f"{check.name} not checked{limit}{why}"
    return f"{check.name} {check.value.text} {check.word}{limit}{why}"
