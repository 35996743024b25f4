"""`jobkit suspects`: the possible causes of a fault in order, and the check to make next."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Format, JobArgument, On, Output, Rev, day, one_book
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.pages.blocks import Answer
    from jobkit.reckon.suspects.ranking import Search

app = plain_app()


@app.command()
def suspects(
    ctx: typer.Context,
    job: JobArgument = None,
    why: Annotated[
        str | None,
        typer.Option(
            "--why", metavar="CAUSE", help="Show the arithmetic behind this cause: its name or its part."
        ),
    ] = None,
    design: Annotated[
        str | None,
        typer.Option("--design", metavar="D", help="Show how often each cause of a design was found."),
    ] = None,
    learn: Annotated[
        str | None,
        typer.Option(
            "--learn",
            metavar="D",
            help="Propose weights and affects from your jobs into a board file.",
        ),
    ] = None,
    on: On = None,
    rev: Rev = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Rank the possible causes of a fault by what was observed, and name the check that tells most in a minute.

    What counts: tests (failed and passed), readings with a verdict, injections, memory logs, parts replaced in vain.
    """
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.bench.suspects import suspects_page

    root = one_book(ctx, book)
    if design or learn:
        from jobkit.cli.bench.learning import design_causes
        from jobkit.pages.bench.suspects_design import design_causes_page

        _one_question(job, why, design, learn, rev)
        asked = design_causes(root, design or learn or "", on, rev, learn=bool(learn))
        show_page(design_causes_page(asked), form, output, color)
        return
    found = _search(root, job, on, rev)
    show_page(_why(found, why) if why else suspects_page(found), form, output, color)


def _one_question(*asked: str | None) -> None:
    """Refuse a design together with a job, a cause, another design, or, where it is written to, a revision."""
    job, why, design, learn, rev = asked
    if job or why or (design and learn):
        raise MisuseError(
            "--design and --learn are about a design", "leave out the job, --why, or one of the two"
        )
    if learn and rev:
        raise MisuseError(
            "--learn changes the working tree, and --rev reads a revision", "leave one of them out"
        )


def _why(found: Search, cause: str) -> Answer:
    from jobkit.pages.bench.suspects_why import why_page
    from jobkit.reckon.suspects.arithmetic import arithmetic_of, suspect_named

    return why_page(found, arithmetic_of(found, suspect_named(found, cause)))


def _search(root: Path, name: str | None, on: str | None, rev: str | None) -> Search:
    from jobkit.cli.call.boards import past_causes
    from jobkit.cli.call.job_asked import job_asked, job_or_selected
    from jobkit.cli.call.own_troubles import refuse_unread_board_file, say_own_troubles
    from jobkit.cli.call.rollup import open_at
    from jobkit.jobs.asof import job_as_of
    from jobkit.reckon.suspects.search import search

    asked = job_or_selected(root, name)
    opened = open_at(root, rev)
    as_of = day(on, opened.bench.settings)
    job = job_as_of(job_asked(opened, asked), as_of)
    refuse_unread_board_file(opened, job.board.design)
    say_own_troubles(opened, job.board.design)
    return search(job, opened.bench, past_causes(opened, as_of)(job.board.design or ""))
