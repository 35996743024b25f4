"""The bill of the job that is asked for, and the paper that it is shown as."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.book.read.load import OpenBook, open_book
from jobkit.cli.call.client_asked import client_asked
from jobkit.cli.call.invoice_asked import note_asked, view_of
from jobkit.cli.call.job_asked import job_asked
from jobkit.cli.call.language_asked import LanguageAsked, language_asked
from jobkit.cli.call.options import day
from jobkit.cli.call.paper_around import paper_around
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.asof import job_as_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer
from jobkit.pages.client.bill import bill_page
from jobkit.pages.client.bill_words import BillView
from jobkit.pages.client.credit_note import credit_note_page
from jobkit.reckon.money.account import BillError
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.sheets import Sheet

if TYPE_CHECKING:
    from jobkit.pages.forms.html import Around

_NEEDED: dict[str, tuple[Place, ...]] = {
    "bench.toml": ((), ("bench",), ("tax",)),
    "stock.toml": ((), ("item",)),
}
"""What of the bench's own files a bill depends on, by the first key; the empty place is the file as a whole."""


class BillAsked(NamedTuple):
    """A bill and the language it is to be written in, with the book that it is from."""

    book: OpenBook
    view: BillView
    language: LanguageAsked

    def around(self) -> Callable[[], Around]:
        """Give what makes the parts around the paper in HTML."""
        view = self.view
        return partial(
            paper_around, self.book.shelf, view.facts.path, view.bench.name, view.on, self.language.language
        )


def bill_asked(
    root: Path, name: str, rev: str | None, on: str | None, lang: str | None, *, breakdown: bool
) -> BillAsked:
    """Make out the bill of a job as of a day; raises MisuseError where it cannot be made out."""
    opened = open_book(shelf_of(root, rev=rev))
    today = day(on, opened.bench.settings)
    facts = _facts(opened, job_asked(opened, name), today)
    made = bill(facts, opened.bench, breakdown=breakdown, on=today.isoformat())
    client = client_asked(opened.shelf, facts.client)
    view = view_of(opened.bench, facts, today, made, client)
    return BillAsked(opened, view, language_asked(opened, root, lang, client))


def bill_paper(asked: BillAsked, credit_note: str | None) -> Answer:
    """Write the bill, or the credit note with this number; raises MisuseError for one that there is not."""
    view, lang = asked.view, asked.language.language
    note = note_asked(view.bill, credit_note) if credit_note else None
    page = credit_note_page(view, note, lang) if note else bill_page(view, lang)
    return page._replace(own={"ubl": partial(_ubl, asked, note)})


def _ubl(asked: BillAsked, note: Sheet | None) -> str:
    # What writes XML is loaded for this form alone.
    from jobkit.cli.call.ubl_asked import ubl_asked

    return ubl_asked(asked.book, asked.view, note, asked.language.language)


def _facts(book: OpenBook, job: Job, today: date) -> Facts:
    """Give the facts to bill from; raise BillError where the bench's terms could not be read."""
    if job.dates.received and job.dates.received > today:
        raise BillError(f"{job.id} was not received by {today}", "name a later day with --on")
    if job.dates.announced and not job.dates.received:
        raise BillError(f"{job.id} has not been received yet", "make out its bill once it is here")
    for file in book.own:
        if any(trouble.place[:1] in _NEEDED.get(file.path, ()) for trouble in file.troubles):
            raise BillError(
                f"{job.id} cannot be billed while {file.path} has errors", f"see `jobkit lint {file.path}`"
            )
    return facts_of(job_as_of(job, today))
