"""`show`, however it was called; needs no command-line library."""

from __future__ import annotations

from jobkit.cli.call.books import only_folder
from jobkit.cli.call.clock import day
from jobkit.cli.call.job_asked import job_asked, job_or_selected
from jobkit.cli.call.own_troubles import say_own_troubles
from jobkit.cli.call.rollup import open_at
from jobkit.cli.call.show_page import show_page
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError


class ShowCall(NamedTuple):
    """The options of a call of show; neither a job nor a design: the selected job."""

    books: tuple[str, ...] = ()
    job: str | None = None
    design: str | None = None
    on: str | None = None
    rev: str | None = None
    format: str = "text"
    output: str | None = None
    color: str = "auto"


def show(call: ShowCall) -> None:
    """Show a job, or what is known of a board design."""
    if call.job is not None and call.design is not None:
        raise MisuseError("show shows one job or one design", "name a job, or a design with --design")
    root = only_folder(call.books, "show")
    name = None if call.design else job_or_selected(root, call.job)
    opened = open_at(root, call.rev)
    if call.design is not None:
        from jobkit.book.read.lookup import design_named
        from jobkit.pages.bench.design import design_page

        answer = design_page(design_named(opened.bench, call.design))
    else:
        from jobkit.cli.bench.job_view import job_view
        from jobkit.pages.bench.job import job_page

        asked = job_asked(opened, name or "")
        say_own_troubles(opened, asked.board.design)
        answer = job_page(job_view(opened, asked, day(call.on, opened.bench.settings)))
    show_page(answer, call.format, call.output, call.color)
