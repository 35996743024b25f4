"""`jobkit book-in`: a new job file, from options or questions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.bench.asking import agreed, at_terminal
from jobkit.cli.bench.booking_options import BookIn, said
from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import AsIs, Books, By

if TYPE_CHECKING:
    from jobkit.cli.bench.booking import NewJob

app = plain_app()

_SEVERAL = ", several with ; between"
_ANNOUNCED, _RECEIVED = ("dates", "announced"), ("dates", "received")


@app.command(cls=BookIn)
def book_in(
    ctx: typer.Context,
    renumber_: Annotated[
        str | None,
        typer.Option("--renumber", metavar="PATH", help="Separate two jobs that got the same id in a merge."),
    ] = None,
    by: By = None,
    as_is: AsIs = False,
    book: Books = None,
) -> None:
    """Book a board in: create a job file with the next free id. At a terminal it asks for what is missing.

    Earlier jobs of the serial are shown at once. The new job is selected for `read`, `walk` and `jot`.
    """
    from jobkit.cli.bench.booking import begin_job, make, offer_walk
    from jobkit.cli.bench.renumbering import renumber
    from jobkit.cli.bench.writing import begin

    writing = begin(ctx, book, by)
    if renumber_ is not None:
        renumber(writing, renumber_)
        return
    job = begin_job(writing, as_is=as_is)
    for path, given in said(ctx).items():
        job.take(path, given)
    if not job.has(_RECEIVED) and not job.has(_ANNOUNCED):
        job.take(_RECEIVED, "today")
    job.follow()
    if at_terminal():
        _ask(job)
    job_id = make(job)
    if at_terminal() and job.has(_RECEIVED):
        offer_walk(job, job_id)


def _ask(job: NewJob) -> None:
    """Ask for what is missing, first for what answers most of the rest."""
    job.ask(("board", "serial"), "serial", needed=False)
    job.tell_earlier()
    _ask_comeback(job)
    job.ask(("board", "design"), "design", needed=False)
    job.ask(("board", "kind"), "kind of board")
    job.ask(("client",), "client")
    job.ask(("intake", "complaint"), "what the client says")
    job.ask(("title",), "title")
    job.ask(("intake", "from"), "country it came from, such as IS", needed=False)
    job.ask(("intake", "condition"), f"visible damage{_SEVERAL}", needed=False)
    job.ask(("intake", "came_with"), f"what else was in the parcel{_SEVERAL}", needed=False)
    job.ask(("board", "place"), "shelf", needed=False)


def _ask_comeback(job: NewJob) -> None:
    last = job.last_stay()
    if last and not job.has(("comeback", "of")) and agreed(f"a comeback of {last} (Enter yes, n no): "):
        job.take(("comeback", "of"), last)
