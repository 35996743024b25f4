"""What `jot pad` adds to a pad that was read: the meter in use, and the verdict on a repaired one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jobkit.cli.bench.writing import Writing
from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Pad
from jobkit.jobs.job import Job
from jobkit.pages.bench.confirmations import brief
from jobkit.reckon.entry.defaults import default_meter
from jobkit.reckon.readings.pads import judge_pad
from jobkit.units.quantity import parse_quantity


def with_meter(writing: Writing, job: Job, kind: str, entry: dict[str, Any]) -> dict[str, Any]:
    """Add the meter in use where a pad was read and none is named; `kind` is the kind of entry."""
    if kind != "pad" or "reads" not in entry or "meter" in entry:
        return entry
    remembered = writing.session.meters.get("resistance")
    meter = default_meter(job, "resistance", remembered, writing.book.bench.meters)
    return {**entry, "meter": meter} if meter else entry


def pad_lines(kind: str, entry: Mapping[str, Any], bench: Bench, earlier: Pad | None = None) -> Iterator[str]:
    """Say whether a repaired pad is within the bench's limit; `earlier` is the entry that this one completes."""
    if kind != "pad" or "reads" not in entry:
        return
    repaired = entry.get("repaired") or (earlier.repaired if earlier else None)
    reads = parse_quantity(entry["reads"], "resistance")
    verdict = judge_pad(Pad((), repaired=repaired, reads=reads, meter=entry.get("meter")), bench)
    if verdict:
        yield f"    {reads.text} {verdict.word} ({brief(verdict.limit.text)}), {entry.get('meter') or 'no meter'}"
