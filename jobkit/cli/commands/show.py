"""`jobkit show`: one job on one screen."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev

app = plain_app()


@app.command()
def show(
    ctx: typer.Context,
    job: JobArgument = None,
    design: Annotated[
        str | None, typer.Option("--design", metavar="D", help="Show a board file instead.")
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show one job: status, readings with verdicts, the course of the stay, what is left to prove, earlier jobs.

    With --design, show what is known of a board design instead.
    """
    from jobkit.cli.bench.showing import ShowCall
    from jobkit.cli.bench.showing import show as run

    run(ShowCall((*ctx.obj, *(book or ())), job, design, on, rev, form, output, color))
