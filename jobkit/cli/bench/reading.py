"""`read`, however it was called: readings appended to a job; needs no command-line library."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from jobkit.book.write.entry import append_apart, reading_entry
from jobkit.cli.bench.measuring import bench_context, tell_reading
from jobkit.cli.bench.writing import Writing, begin_in, job_meant, put, reading_named, tell
from jobkit.cli.call.books import only_folder
from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Finding
from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.confirmations import countdown
from jobkit.pages.cautions import caution_lines
from jobkit.reckon.entry.reading_entry import Overrides, make_readings, pairs, points_of
from jobkit.reckon.progress.near_acts import near_power


class ReadCall(NamedTuple):
    """A call of read: points and values as typed, and what is said of all of them."""

    books: tuple[str, ...]
    words: tuple[str, ...]
    overrides: Overrides = Overrides()
    at: str | None = None
    by: str | None = None
    job: str | None = None


def read_call(given: Mapping[str, Any]) -> ReadCall:
    """Make a call of its fields and those of its overrides, which a plain call gives side by side."""
    own = {name: value for name, value in given.items() if name in ReadCall._fields}
    said = {name: value for name, value in given.items() if name not in own}
    return ReadCall(**own, overrides=Overrides(**said))


def read(call: ReadCall) -> None:
    """Append readings to a job and say their verdicts."""
    writing = begin_in(only_folder(call.books, "read"), call.by, call.at)
    parts = tuple(part for word in call.overrides.removed for part in word.split(",") if part)
    overrides = call.overrides._replace(removed=parts)
    context = bench_context(writing, job_meant(writing, call.job))
    readings = make_readings(pairs(call.words, points_of(context)), overrides, context)
    found = write_readings(writing, context.job.path, readings, as_is=overrides.as_is)
    if overrides.meter:
        writing.remember(meters={**writing.session.meters, **{one.kind: one.meter for one in readings}})
    for reading in readings:
        tell_reading(reading, context)
    after = context.job._replace(readings=(*context.job.readings, *readings))
    tell(*(f"    {line}" for line in caution_lines(near_power(context.job, after, context.bench))))
    if context.warm_until and any(reading.state == "warm" for reading in readings):
        tell(f"    {countdown(context.warm_until, context.warm_until - context.now)}; then read it cold")
    tell(found=found)


def write_readings(
    writing: Writing, path: str, readings: Sequence[Reading], *, as_is: bool = False
) -> tuple[Finding, ...]:
    """Append readings to a job, all or none."""
    edits = [partial(append_apart, table="reading", entry=reading_entry(one)) for one in readings]
    return put(writing, path, edits, " and ".join(map(reading_named, readings)), as_is=as_is)
