"""What other jobs say: those of a client, of a board, one named by its id, and how long the warranty runs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.editor.names.designs import Named
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.asof import known_on
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.pages.client.warranty import warranty_page
from jobkit.pages.forms.markdown import as_markdown, escaped
from jobkit.pages.words import counted
from jobkit.reckon.progress.status import status
from jobkit.reckon.warranty.cover import cover

_MOST = 8
"""So many jobs are named, the newest first."""


def client_lines(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Name the other jobs of a client."""
    others = [one for one in book.facts() if one.client == named.name and one.path != file.path]
    yield f"**{escaped(named.name)}**: {counted(len(others), 'other job')}"
    yield _listed(others)


def serial_lines(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Name the other stays of a board."""
    saved = book.saved()
    stays = book.outside.stays_of(saved, named.name, book.today(saved))
    others = [one for one in stays if one.path != file.path]
    yield f"**{escaped(named.name)}**: {counted(len(others), 'other job')} of this board"
    yield _listed(others)


def job_lines(named: Named, _file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say what another job was."""
    yield _listed(one for one in book.facts() if one.id == named.name)


def warranty_lines(job: Job, book: BookInEditor) -> Iterator[str]:
    """Say until when the warranty runs, by the job as it is shown and the others as they are saved."""
    opened = book.book()
    today = book.today(opened)
    known = known_on((*(one for one in book.facts() if one.path != job.path), facts_of(job)), today)
    if job.id in known:
        found = cover(job.id, known, opened.bench.settings.warranty, today)
        yield as_markdown(warranty_page(found).page)


def _listed(jobs: Iterable[Facts]) -> str:
    newest = sorted(jobs, key=lambda one: (one.received, one.id), reverse=True)
    rows = [
        f"- {escaped(one.id)} {escaped(one.title)} ({one.received or one.announced}, {status(one)})"
        for one in newest[:_MOST]
    ]
    more = len(newest) - _MOST
    return "\n".join(rows) + (f"\n- and {more} more" if more > 0 else "")
