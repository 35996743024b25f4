"""The options of commands that read the log of another program."""

from __future__ import annotations

from typing import Annotated

import typer

Header = Annotated[
    str | None,
    typer.Option(
        "--header", metavar="NAMES", help="The columns of a log without a header, with commas between."
    ),
]
Separator = Annotated[
    str | None,
    typer.Option(
        "--separator", metavar="MARK", help="What separates columns: a letter, or tab. Default: guessed."
    ),
]
Encoding = Annotated[
    str | None, typer.Option("--encoding", metavar="NAME", help="The encoding of the log. Default: guessed.")
]
BadRows = Annotated[
    float | None,
    typer.Option("--bad-rows", metavar="PERCENT", help="Refuse a log with more bad rows. Default: 5."),
]
