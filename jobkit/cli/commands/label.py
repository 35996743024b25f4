"""`jobkit label`: a label for the box of a board."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, JobArgument, Output, one_book

app = plain_app()


@app.command()
def label(
    ctx: typer.Context,
    job: JobArgument = None,
    form: Annotated[
        str, typer.Option("--format", metavar="text|svg|markdown|html|json", help="The form of the answer.")
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Print a label for the box of a board: the job's id, large and as a code that a phone reads.

    No client and no serial number is on it. With --format svg it is 62 by 29 mm.
    """
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.rollup import open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.label import label_page

    root = one_book(ctx, book)
    name = job_or_selected(root, job)
    show_page(label_page(job_asked(open_at(root, None), name)), form, output, color)
