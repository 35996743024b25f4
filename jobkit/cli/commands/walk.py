"""`jobkit walk`: measure the points one by one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, By, JobOption

if TYPE_CHECKING:
    from jobkit.jobs.job import Job

app = plain_app()


@app.command()
def walk(
    ctx: typer.Context,
    stage: Annotated[
        str | None,
        typer.Argument(metavar="[arrival|proof]", help="Which walk (default: the one that is due)."),
    ] = None,
    meter: Annotated[str | None, typer.Option("--meter", metavar="M", help="The meter of this walk.")] = None,
    by: By = None,
    job: JobOption = None,
    book: Books = None,
) -> None:
    """Go through the points one by one: value and Enter. `-` skips, `--` skips the rest of this part, `o` is open, `b`
    goes back, `?` says where the probe goes and what is usual there.

    Each value is saved before you are asked for the next one; the next walk continues where this one stopped. It also
    reads from a pipe: a meter's serial line, a scanner.
    """  # noqa: D205 - typer shows it as it is
    from jobkit.cli.bench.whole_walk import walk_job
    from jobkit.cli.bench.writing import begin, job_meant
    from jobkit.jobs.naming import named
    from jobkit.reckon.entry.reading_entry import Overrides
    from jobkit.reckon.entry.walk import WALKS

    writing = begin(ctx, book, by)
    meant = job_meant(writing, job)
    walk_job(writing, meant, named(stage, WALKS, "walk") if stage else _due(meant), Overrides(meter=meter))


def _due(job: Job) -> str:
    """Tell which walk is due: the proof once the board was worked on."""
    from jobkit.reckon.entry.defaults import default_stage

    return "arrival" if default_stage(job) == "arrival" else "proof"
