"""`jobkit load`: the log of a loaded run, checked against limits, or two runs compared."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.log_words import BadRows, Encoding, Header, Separator
from jobkit.cli.call.options import Books, Color, Format, Output
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def load(
    ctx: typer.Context,
    log: Annotated[
        str, typer.Argument(metavar="LOG", help="The log, as CSV, or a job: its last trial that names a log.")
    ],
    after: Annotated[
        str | None,
        typer.Argument(metavar="[AFTER]", help="A second log, to see what changed from LOG to it."),
    ] = None,
    limit: Annotated[
        list[str] | None,
        typer.Option(
            "--limit",
            metavar="SENSOR<=LIMIT",
            help='A limit, such as "hot spot <= 95 °C" or "power = 230 W +/- 10 %"; may be repeated. '
            "Default: those of the trial that names the log.",
        ),
    ] = None,
    ambient: Annotated[
        list[str] | None,
        typer.Option("--ambient", metavar="TEMP", help="Room temperature, such as 22; twice for two logs."),
    ] = None,
    accuracy: Annotated[
        list[str] | None,
        typer.Option("--accuracy", metavar="SENSOR=SPAN", help='Accuracy of a sensor: "hot spot = 2 °C".'),
    ] = None,
    unit: Annotated[
        list[str] | None,
        typer.Option("--unit", metavar="COLUMN=UNIT", help='A unit that the header lacks: "core = °F".'),
    ] = None,
    dip: Annotated[
        int,
        typer.Option(
            "--dip",
            metavar="PERCENT",
            help="A clock or frame rate dips when it falls below this share of its median.",
        ),
    ] = 80,
    design: Annotated[
        str | None,
        typer.Option(
            "--design",
            metavar="NAME",
            help="Compare with good boards of this design. Default: that of the log's job.",
        ),
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            "--column", metavar="NAME=HEADING", help='How the log calls the time or a sensor: "hot spot=T1".'
        ),
    ] = None,
    header: Header = None,
    separator: Separator = None,
    encoding: Encoding = None,
    bad_rows: BadRows = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> int:
    """Read the log of a loaded run: settled values, highest temperatures, and whether limits were kept.

    Any CSV with a time column works; a book is not needed. bench.toml may keep the options under [logs.load]. Exit
    status 1 for any verdict but in.
    """
    from jobkit.cli.bench.load_runs import Told, look_at
    from jobkit.cli.bench.log_options import Stated
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.load import load_page
    from jobkit.pages.bench.load_comparison import comparison_page
    from jobkit.reckon.load_run.check import worst_of
    from jobkit.reckon.load_run.compare import compare_runs

    if not 0 < dip < 100:
        raise MisuseError(f"--dip cannot be {dip}", "give a share of the median in percent, such as 80")
    rooms = tuple(ambient or ())
    if len(rooms) > (2 if after else 1):
        raise MisuseError(
            "there are more temperatures of the room than logs", "give --ambient once for each log"
        )
    stated = Stated(tuple(column or ()), header, separator, encoding, bad_rows)
    told = Told.read(limit or (), accuracy or (), unit or (), dip, design, stated)
    first = look_at(ctx, book, log, told, rooms[:1])
    if after is None:
        show_page(load_page(first), form, output, color)
        return int(worst_of(first.checks) != "in" and bool(first.checks))
    second = look_at(ctx, book, after, told, rooms[-1:])
    found = compare_runs(first.run, second.run, (first.room, second.room))
    show_page(comparison_page(first, second, found), form, output, color)
    return int(worst_of(second.checks) != "in" and bool(second.checks))
