"""`jobkit trail`: the history of a job from git, in plain words."""

from __future__ import annotations

from datetime import date
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.clock import read_day, zone
from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, JobArgument, On, Output, Rev, one_book

if TYPE_CHECKING:
    from jobkit.book import git
    from jobkit.book.read.load import OpenBook

app = plain_app()


@app.command()
def trail(
    ctx: typer.Context,
    job: JobArgument = None,
    on: On = None,
    rev: Rev = None,
    form: Annotated[
        str, typer.Option("--format", metavar="text|markdown|html|json|csv", help="The form of the answer.")
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show the history of a job from git: what each commit changed, and who did it, oldest first.

    The job is followed through renames and merges; for a merge only what neither side had is shown. Readings are
    compared with the limits of the board file as it is now, or as it was in --rev. A deleted job is found by its whole
    id.
    """
    from jobkit.book import git
    from jobkit.book.history.job_history import history
    from jobkit.book.read.load import open_book
    from jobkit.cli.call.job_asked import job_or_selected
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.call.show_page import show_page
    from jobkit.pages.history.trail import Trail, trail_page
    from jobkit.reckon.changes.trail import trail as told

    root = one_book(ctx, book)
    name = job_or_selected(root, job)
    opened = open_book(shelf_of(root, rev=rev))
    repo = git.open_repo(root)
    commit = git.resolve(repo, rev or "HEAD")
    path = _path(opened, repo, commit, name)
    until = read_day(on, opened.bench.settings) if on else date.max
    entries = told(history(repo, commit, path), opened.bench, zone(opened.bench.settings), until)
    shown = Trail(PurePosixPath(path).stem, _title(opened, path), entries, repo.shallow)
    show_page(trail_page(shown), form, output, color)


def _path(opened: OpenBook, repo: git.Repo, commit: str, job: str) -> str:
    from jobkit.book.history.job_history import last_path
    from jobkit.book.read.lookup import NoSuchJobError, job_path

    try:
        return job_path(opened, job)
    except NoSuchJobError:
        path = last_path(repo, commit, job)
        if path is None:
            raise
        return path


def _title(opened: OpenBook, path: str) -> str:
    from jobkit.book.read.load import load_job

    if path not in opened.job_paths:
        return "(no longer in the book)"
    loaded = load_job(path, opened.shelf.read(path))
    return (loaded.job and loaded.job.title) or ""
