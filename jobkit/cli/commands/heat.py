"""`jobkit heat`: a thermocouple log, checked against what packages and solder bear."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.log_words import BadRows, Encoding, Header, Separator
from jobkit.cli.call.options import Books, Color, Format, Output

app = plain_app()


@app.command()
def heat(
    ctx: typer.Context,
    log: Annotated[
        str, typer.Argument(metavar="LOG", help="The log, as CSV, or a job: its last work that names a log.")
    ],
    probe: Annotated[
        list[str] | None,
        typer.Option(
            "--probe",
            metavar="COLUMN=PLACE",
            help='Where a thermocouple sat: "t1=U5 joint", "t2=U5 body top"; may be repeated. '
            "Default: as the work that names the log says.",
        ),
    ] = None,
    classified: Annotated[
        list[str] | None,
        typer.Option(
            "--classified",
            metavar="[PART=]TEMP",
            help='The classification temperature of a package: "U5=250", or 250 for all. '
            "Default: by board file and stock.",
        ),
    ] = None,
    alloy: Annotated[
        str | None,
        typer.Option("--alloy", metavar="NAME", help="The solder at the joint, such as SAC305."),
    ] = None,
    did: Annotated[
        str | None,
        typer.Option(
            "--did",
            metavar="WORK",
            help="What was done, such as fit or remove. Default: that of the work, else fit.",
        ),
    ] = None,
    accuracy: Annotated[
        str | None,
        typer.Option("--accuracy", metavar="SPAN", help='How far a thermocouple may be off: "2 °C".'),
    ] = None,
    window: Annotated[
        float,
        typer.Option("--window", metavar="SECONDS", help="How long a ramp has to last to count."),
    ] = 10.0,
    unit: Annotated[
        list[str] | None,
        typer.Option(
            "--unit", metavar="[COLUMN=]UNIT", help='A unit that the header lacks: "t1=°F", or °F for all.'
        ),
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            metavar="NAME=HEADING",
            help='How the log calls the time or a thermocouple: "time=Elapsed".',
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
    """Check a thermocouple log: packages at the top of their bodies, the solder at the joint.

    Any CSV with a time column works; a book is not needed. A thermocouple whose place is not told gives no verdict.
    bench.toml may keep limits under [heat] and options under [logs.heat]. Exit status 1 for any verdict but in.
    """
    from jobkit.cli.bench.heat_logs import Texts, Told, look_at
    from jobkit.cli.bench.log_options import Stated
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.heat import heat_page
    from jobkit.reckon.heat.profile_check import worst_of

    stated = Stated(tuple(column or ()), header, separator, encoding, bad_rows)
    texts = Texts(probe or (), classified or (), unit or (), alloy, did, accuracy, window)
    told = Told.read(texts, stated)
    view = look_at(ctx, book, log, told)
    show_page(heat_page(view), form, output, color)
    return int(worst_of(view.checks) != "in")
