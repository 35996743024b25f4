"""`jobkit memory`: the error log of a memory test, line by line."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.log_words import BadRows, Encoding, Header, Separator
from jobkit.cli.call.options import Books, Color, Format, Output
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def memory(
    ctx: typer.Context,
    log: Annotated[
        str,
        typer.Argument(metavar="LOG", help="The log, as CSV; - for standard input; or a job: its last log."),
    ],
    design: Annotated[
        str | None,
        typer.Option(
            "--design", metavar="NAME", help="The design of the board. Default: that of the log's job."
        ),
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            metavar="NAME=HEADING",
            help="How the log calls a column (channel, written, read, times): channel=Lane.",
        ),
    ] = None,
    header: Header = None,
    width: Annotated[
        int,
        typer.Option(
            "--width", metavar="BITS", help="The bits of a word, if the log leaves out leading zeros."
        ),
    ] = 0,
    separator: Separator = None,
    encoding: Encoding = None,
    bad_rows: BadRows = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> int:
    """Read the error log of a memory test: which data lines fail, how, and where they are on the board.

    The log is CSV with the columns channel, written and read (hexadecimal words), and times if rows are counted. A
    book is not needed. bench.toml may keep the options under [logs.memory].
    """
    from jobkit.cli.bench.log_options import Stated
    from jobkit.cli.bench.memory_logs import look_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.memory import memory_page

    if not 0 <= width <= 256:
        raise MisuseError(f"--width cannot be {width}", "give the bits of a word, up to 256")
    stated = Stated(tuple(column or ()), header, separator, encoding, bad_rows)
    name, seen = look_at(ctx, book, log, design, stated, width)
    show_page(memory_page(name, seen), form, output, color)
    return 0
