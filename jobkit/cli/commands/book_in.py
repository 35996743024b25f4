"""`jobkit book-in`: a new job file, from options or questions."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from jobkit.cli.asking import ask, at_terminal
from jobkit.cli.booking import NewJob, begin_job, make, offer_walk
from jobkit.cli.command import plain_app
from jobkit.cli.options import Books
from jobkit.cli.renumbering import renumber
from jobkit.cli.writing import AsIs, By, begin

app = plain_app()

_NO = frozenset(("n", "no"))


@app.command()
def book_in(
    ctx: typer.Context,
    client: Annotated[str | None, typer.Option("--client", help="Whose board it is, such as c-031.")] = None,
    title: Annotated[str | None, typer.Option("--title", help="The job in one line.")] = None,
    complaint: Annotated[str | None, typer.Option("--complaint", help="What the client says.")] = None,
    kind: Annotated[str | None, typer.Option("--kind", help="What sort of board it is.")] = None,
    design: Annotated[str | None, typer.Option("--design", metavar="D", help="The board design.")] = None,
    serial: Annotated[str | None, typer.Option("--serial", help="The serial number on the board.")] = None,
    place: Annotated[str | None, typer.Option("--place", help="Where the board lies.")] = None,
    kept_back: Annotated[
        list[str] | None, typer.Option("--kept-back", help="What of it lies elsewhere; repeat.")
    ] = None,
    setup: Annotated[str | None, typer.Option("--setup", help="What it ran in.")] = None,
    condition: Annotated[
        list[str] | None, typer.Option("--condition", help="What the eye saw; repeat.")
    ] = None,
    came_with: Annotated[
        list[str] | None, typer.Option("--came-with", help="What else came; repeat.")
    ] = None,
    prior_work: Annotated[
        str | None, typer.Option("--prior-work", help="Worked on before: none, likely or certain.")
    ] = None,
    country: Annotated[
        str | None, typer.Option("--from", metavar="CC", help="The country it came from.")
    ] = None,
    declared: Annotated[
        str | None, typer.Option("--declared", metavar="SUM", help="The value on the customs form.")
    ] = None,
    received: Annotated[
        str | None, typer.Option("--received", metavar="DAY", help="The day it came; else today.")
    ] = None,
    promised: Annotated[
        str | None, typer.Option("--promised", metavar="DAY", help="The day it was promised for.")
    ] = None,
    comeback: Annotated[
        str | None, typer.Option("--comeback-of", metavar="JOB", help="The earlier job of this board.")
    ] = None,
    renumber_: Annotated[
        str | None,
        typer.Option("--renumber", metavar="PATH", help="Part two jobs that took one id, after a merge."),
    ] = None,
    by: By = None,
    as_is: AsIs = False,
    book: Books = None,
) -> None:
    """Book a board in: a new job file with the next free id. At a terminal it asks for what is missing.

    Earlier jobs of the serial are shown at once. The job is chosen for `read`, `walk` and `jot`.
    """
    writing = begin(ctx, book, by)
    if renumber_ is not None:
        renumber(writing, renumber_)
        return
    given: dict[tuple[str, ...], Any] = {
        ("client",): client,
        ("title",): title,
        ("board", "kind"): kind,
        ("board", "design"): design,
        ("board", "serial"): serial,
        ("board", "place"): place,
        ("board", "kept_back"): kept_back,
        ("intake", "complaint"): complaint,
        ("intake", "setup"): setup,
        ("intake", "condition"): condition,
        ("intake", "came_with"): came_with,
        ("intake", "prior_work"): prior_work,
        ("intake", "from"): country,
        ("intake", "declared"): declared,
        ("dates", "received"): received or "today",
        ("dates", "promised"): promised,
        ("comeback", "of"): comeback,
    }
    job = begin_job(writing, as_is=as_is)
    for path, said in given.items():
        job.take(path, said)
    if at_terminal():
        _ask(job)
    job_id = make(job)
    if at_terminal():
        offer_walk(job, job_id)


def _ask(job: NewJob) -> None:
    """Ask for what is missing: first what tells the most about the rest."""
    job.ask(("board", "serial"), "serial", needed=False)
    job.tell_earlier()
    _ask_comeback(job)
    job.ask(("board", "design"), "design", needed=False)
    job.ask(("board", "kind"), "kind of board")
    job.ask(("client",), "client")
    job.ask(("intake", "complaint"), "what the client says")
    job.ask(("title",), "title")


def _ask_comeback(job: NewJob) -> None:
    last = job.last_stay()
    if last and not job.has(("comeback", "of")):
        typed = ask(f"a comeback of {last} (Enter yes, n no): ")
        if typed is not None and typed.casefold() not in _NO:
            job.take(("comeback", "of"), last)
