"""`jobkit read`: append readings to the selected job."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import AsIs, At, Books, By, JobOption

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
    from jobkit.cli.bench.reading import ReadCall
    from jobkit.cli.bench.reading import read as run
    from jobkit.reckon.entry.reading_entry import Overrides

    overrides = Overrides(
        stage=stage,
        kind=kind,
        state=state,
        to=to,
        red_on=red_on,
        removed=tuple(removed or ()),
        meter=meter,
        range=range_,
        four_wire=four_wire,
        unsettled=unsettled,
        limit=limit,
        note=note,
        as_is=as_is,
        again=tuple(again or ()),
    )
    run(ReadCall((*ctx.obj, *(book or ())), tuple(words), overrides, at, by, job))
