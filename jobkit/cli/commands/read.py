"""`jobkit read`: append readings to the selected job."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import AsIs, At, Books, By, JobOption

if TYPE_CHECKING:
    from jobkit.cli.bench.writing import Writing
    from jobkit.jobs.entries import Reading
    from jobkit.jobs.finding import Finding

app = plain_app()


@app.command()
def read(
    ctx: typer.Context,
    words: Annotated[list[str], typer.Argument(metavar="POINT VALUE …", help="Points and values in turn.")],
    kind: Annotated[str | None, typer.Option("--kind", help="resistance, voltage, diode …")] = None,
    state: Annotated[str | None, typer.Option("--state", help="cold, warm or powered.")] = None,
    to: Annotated[
        str | None, typer.Option("--to", metavar="POINT", help="The other end (default: ground).")
    ] = None,
    red_on: Annotated[
        str | None, typer.Option("--red-on", metavar="POINT", help="Where the red lead is.")
    ] = None,
    removed: Annotated[
        list[str] | None,
        typer.Option(
            "--removed", metavar="PARTS", help='Packages off the board, as in U5,U6; "none" for none.'
        ),
    ] = None,
    meter: Annotated[str | None, typer.Option("--meter", metavar="M", help="The meter; remembered.")] = None,
    stage: Annotated[str | None, typer.Option("--stage", help="arrival, work or proof.")] = None,
    limit: Annotated[str | None, typer.Option("--limit", metavar="LIMIT", help="A limit of its own.")] = None,
    range_: Annotated[str | None, typer.Option("--range", metavar="END", help="The meter's range.")] = None,
    four_wire: Annotated[bool, typer.Option("--four-wire", help="Taken with four wires.")] = False,
    unsettled: Annotated[bool, typer.Option("--unsettled", help="The reading had not settled.")] = False,
    again: Annotated[
        list[str] | None,
        typer.Option("--again", metavar="V", help="The same read again, probes lifted; may be repeated."),
    ] = None,
    note: Annotated[str | None, typer.Option("--note", help="A note.")] = None,
    at: At = None,
    by: By = None,
    as_is: AsIs = False,
    job: JobOption = None,
    book: Books = None,
) -> None:
    """Write readings: `read vmem 23.4 vcore .31 v12 3k2`. Kind, limit, meter, stage and state have defaults.

    A point may be shortened while only one fits. 23,4 is read as 23.4; 3k2, 46m and 1.35V work; OL or o is an open
    reading.
    """
    from jobkit.cli.bench.measuring import bench_context, tell_reading
    from jobkit.cli.bench.writing import begin, job_meant, tell
    from jobkit.pages.bench.confirmations import countdown
    from jobkit.pages.cautions import caution_lines
    from jobkit.reckon.entry.reading_entry import Overrides, make_readings, pairs, points_of
    from jobkit.reckon.progress.near_acts import near_power

    writing = begin(ctx, book, by, at)
    parts = tuple(part for word in removed or () for part in word.split(",") if part)
    overrides = Overrides(
        stage,
        kind,
        state,
        to,
        red_on,
        parts,
        meter,
        range_,
        four_wire,
        unsettled,
        limit,
        note,
        as_is,
        tuple(again or ()),
    )
    context = bench_context(writing, job_meant(writing, job))
    readings = make_readings(pairs(words, points_of(context)), overrides, context)
    found = write_readings(writing, context.job.path, readings, as_is=as_is)
    if meter:
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
    from jobkit.book.write.entry import append_apart, reading_entry
    from jobkit.cli.bench.writing import put, reading_named

    edits = [partial(append_apart, table="reading", entry=reading_entry(one)) for one in readings]
    return put(writing, path, edits, " and ".join(map(reading_named, readings)), as_is=as_is)
