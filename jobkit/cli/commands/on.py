"""`jobkit on`: select the job to write to."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, By

app = plain_app()


@app.command()
def on(
    ctx: typer.Context,
    job: Annotated[
        str | None,
        typer.Argument(metavar="[JOB]", help="Job id or its last digits (default: show the selected job)."),
    ] = None,
    by: By = None,
    book: Books = None,
) -> None:
    """Select the job that `read`, `walk` and `jot` write to; without a job, show which is selected."""
    from jobkit.book.history.selected import as_known
    from jobkit.cli.bench.writing import begin, job_meant, tell
    from jobkit.jobs.digest import facts_of
    from jobkit.pages.words import listed
    from jobkit.reckon.progress.status import status

    writing = begin(ctx, book, by)
    if by and job is None and not writing.session.job:
        tell(f"{by} works here")
        return
    chosen = job_meant(writing, job)
    if job is not None:
        writing.files.remember(job=chosen.id, known=as_known(writing.session, chosen))
    where = listed(str(status(facts_of(chosen))), chosen.board.design, chosen.board.place, f"by {writing.by}")
    tell(f"{chosen.id}  {chosen.title or ''}: {where}")
