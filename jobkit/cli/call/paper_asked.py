"""What the paper of the job that is asked for holds, as of a day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import OpenBook
from jobkit.cli.call.boards import usual_for
from jobkit.cli.call.client_asked import client_asked
from jobkit.cli.call.cover_asked import cover_asked
from jobkit.cli.call.job_asked import job_asked
from jobkit.cli.call.language_asked import LanguageAsked, language_asked
from jobkit.cli.call.options import day
from jobkit.cli.call.paper_around import paper_around
from jobkit.cli.call.rollup import open_at
from jobkit.jobs.asof import job_as_of, known_on
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.client.paper import Paper, paper
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.pages.forms.html import Around


class PaperAsked(NamedTuple):
    """What a paper holds and in which language it is to be written, with the book that it is from."""

    book: OpenBook
    paper: Paper
    language: LanguageAsked

    def around(self) -> Callable[[], Around]:
        """Give what makes the parts around the paper in HTML."""
        path, bench = self.paper.job.path, self.book.bench.settings.name
        return partial(paper_around, self.book.shelf, path, bench, self.paper.on, self.language.language)


def paper_asked(root: Path, name: str, rev: str | None, on: str | None, lang: str | None) -> PaperAsked:
    """Gather what the papers of a job hold; raises MisuseError for a job that was not here yet, and for a language."""
    opened = open_at(root, rev)
    today = day(on, opened.bench.settings)
    asked = job_asked(opened, name)
    _check_here(asked, today)
    covered = cover_asked(opened, asked, known_on(all_facts(opened), today), today)
    client = client_asked(opened.shelf, asked.client)
    usual = usual_for(opened, asked, today)
    made = paper(job_as_of(asked, today), opened.bench, covered, client, today, usual)
    return PaperAsked(opened, made, language_asked(opened, root, lang, client))


def _check_here(job: Job, today: date) -> None:
    if job.dates.received and job.dates.received > today:
        raise MisuseError(f"{job.id} was not received on {today}", f"ask for {job.dates.received} or later")
    if job.dates.announced and not job.dates.received:
        raise MisuseError(f"{job.id} has not been received yet", "write its report once it is here")
