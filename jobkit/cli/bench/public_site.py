"""The public site: repairs that a bench shows to the world.

Its pages are always made again, and nothing is kept of what they were made from: a folder that is given to the world
holds pages, photos, and the names of both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date

from jobkit.book.read.load import OpenBook, load_jobs
from jobkit.book.write.site_folder import PHOTOS, PageRecord, PhotoRecord, SiteFolder, digest_of
from jobkit.cli.bench.site_pages import FILES, drawn, sheet_of
from jobkit.cli.bench.site_plan import Site, with_facts
from jobkit.cli.bench.site_writing import Progress, Written
from jobkit.cli.call.paper_around import photos_of
from jobkit.cli.call.streams import say
from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.pages.client.public import public_page
from jobkit.pages.forms.picture import Picture, scaled
from jobkit.pages.site.links import INDEX, Links, job_place
from jobkit.pages.site.lists import public_index

_WAYS = (("all repairs", INDEX),)


def write_public_site(
    book: OpenBook, facts: Sequence[Facts], on: date, folder: SiteFolder, progress: Progress
) -> Written:
    """Write the pages of the repairs that are marked as public and finished."""
    jobs = tuple(_public_jobs(book, facts, on))
    site = Site(with_facts(book, facts), on, tuple(facts_as_of(facts, on)))
    links = Links([job.id for job in jobs])
    folder.begin([INDEX, *(job_place(job.id) for job in jobs)])
    records: dict[str, PageRecord] = {}
    written = 0
    for count, job in enumerate(jobs, 1):
        files = _PublicPhotos(folder)
        pictures = _without_names(photos_of(book.shelf, job.path, files.picture))
        around = links.around(job_place(job.id), _WAYS)._replace(pictures=pictures, pictures_from=FILES)
        page = drawn(public_page(sheet_of(site, job)), around)
        written += folder.put(job_place(job.id), page.encode("utf-8", "replace"))
        records[job_place(job.id)] = PageRecord(photos=tuple(files.files))
        if progress:
            progress(count)
    index = drawn(public_index(book.bench.settings.name, jobs), links.around(INDEX, ()))
    written += folder.put(INDEX, index.encode("utf-8", "replace"))
    records[INDEX] = PageRecord()
    photos = {file: PhotoRecord(file, 0, 0) for record in records.values() for file in record.photos}
    removed = folder.end(records, photos)
    return Written(written, len(records) - written, len(records), removed)


def _public_jobs(book: OpenBook, facts: Sequence[Facts], on: date) -> Iterator[Job]:
    ended = [one.path for one in facts_as_of(facts, on) if one.finished]
    yield from (one.job for one in load_jobs(book.shelf, ended) if one.job and one.job.public)


def _without_names(pictures: Callable[[str], Picture | str]) -> Callable[[str], Picture | str]:
    """Say to the bench alone which photo cannot be shown, and why: names of files are not for the world."""

    def picture(file: str) -> Picture | str:
        found = pictures(file)
        if isinstance(found, str):
            say(f"jobkit: {found}")
            return "a photo that cannot be shown"
        return found

    return picture


class _PublicPhotos:
    """The photos of one page as files, named by what they are after scaling."""

    def __init__(self, folder: SiteFolder) -> None:
        self._folder = folder
        self.files: list[str] = []

    def picture(self, content: bytes) -> Picture:
        """Give the picture of a photo; raises MisuseError for what is not one."""
        made = scaled(content)
        file = f"{PHOTOS}{digest_of(made.content)[:32]}.jpg"
        self._folder.put(file, made.content)
        self.files.append(file)
        return Picture(f"../{file}", made.width, made.height)
