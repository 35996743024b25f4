"""Write a site: only the pages whose sources changed are made, in several processes where there are many."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any

from jobkit.book import git
from jobkit.book.read.load import load_job
from jobkit.book.read.parallel import map_in_processes
from jobkit.book.shelf.opening import ShelfError
from jobkit.book.write.site_folder import PHOTOS, PageRecord, PhotoRecord, SiteFolder, digest_of
from jobkit.cli.bench.site_pages import draw_job, draw_search, other_pages
from jobkit.cli.bench.site_plan import Site, forget_files
from jobkit.cli.bench.site_sources import Sources
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.pages.forms.picture import Picture, scaled
from jobkit.pages.site.links import NAMED_LATER, SEARCH, design_place
from jobkit.pages.site.lists import Found, found_by
from jobkit.units.errors import MisuseError

Progress = Callable[[int], None] | None


class Written(NamedTuple):
    """How many pages were written, how many were there already, how many were made at all, and how many removed."""

    written: int
    same: int
    made: int
    removed: int


def write_site(site: Site, folder: SiteFolder, progress: Progress) -> Written:
    """Write the pages of a site."""
    return _Writing(site, folder, progress).run()


class _Writing:
    """One writing of a site; `records` and `photos` become the list of the folder."""

    def __init__(self, site: Site, folder: SiteFolder, progress: Progress) -> None:
        self._site, self._folder, self._progress = site, folder, progress or (lambda _done: None)
        self._sources = Sources(site)
        self._records: dict[str, PageRecord] = {}
        self._photos = {digest: photo for digest, photo in folder.photos.items() if folder.has(photo.file)}
        self._made = self._written = 0

    def run(self) -> Written:
        """Write all pages, those of jobs first: the search needs what they are found by."""
        pages = self._site.pages
        self._folder.begin(pages)
        self._jobs()
        for place, draw in other_pages(self._site).items():
            self._other(place, draw)
        found = {one.id: Found(one.id, *self._records[place].found) for place, one in self._site.jobs.items()}
        self._other(SEARCH, lambda: draw_search(self._site, found))
        removed = self._folder.end(self._records, self._photos)
        return Written(self._written, len(pages) - self._written, self._made, removed)

    def _jobs(self) -> None:
        """Make the pages of the jobs whose sources changed; each process writes those that it made."""
        lacking = []
        for place, one in self._site.jobs.items():
            before = self._unchanged(place, self._sources.of_job(one))
            if before and self._photos.keys() >= {*before.photos}:
                self._records[place] = before
            else:
                lacking.append(place)
        done = len(self._records)
        self._progress(done)
        made = map_in_processes(self._made_of, lacking, lambda count: self._progress(done + count))
        for place, record, photos, is_written in made:
            self._note(place, PageRecord(*record[:2], *map(tuple, record[2:])), is_written=is_written)
            self._photos |= {digest: PhotoRecord(*photo) for digest, photo in photos}

    def _made_of(self, places: Sequence[str]) -> Iterator[tuple[Any, ...]]:
        """Make pages of jobs, and yield of each what the list says of it, as plain data."""
        for place in places:
            yield self._job(place, self._site.jobs[place])
            forget_files(self._site)

    def _job(self, place: str, one: Facts) -> tuple[Any, ...]:
        shelf = self._site.book.shelf
        job = _loaded(one, shelf.read(one.path))
        pictures = _PhotoFiles(self._folder, self._photos)
        page = draw_job(self._site, job, pictures.picture).encode("utf-8", "replace")
        is_written = self._folder.put(place, page)
        record = self._record(self._sources_of(one), page)
        found = found_by(job)
        row = (*record[:2], list(record.names), pictures.shown, [found.parts, found.notes])
        return place, row, [(digest, list(photo)) for digest, photo in pictures.made.items()], is_written

    def _sources_of(self, one: Facts) -> str:
        """Give the sources of a page just made, "" where a file changed meanwhile: it will be made again."""
        before = self._sources.of_job(one)
        return before if before == self._sources.of_job(one, self._blob_now) else ""

    def _blob_now(self, path: str) -> str:
        shelf = self._site.book.shelf
        try:
            return git.blob_id(shelf.read(path), shelf.hashing)
        except ShelfError:
            return ""

    def _other(self, place: str, draw: Callable[[], str]) -> None:
        sources = self._sources_of_other(place)
        before = self._unchanged(place, sources)
        if before:
            self._records[place] = before
            return
        page = draw().encode("utf-8", "replace")
        forget_files(self._site)
        self._note(place, self._record(sources, page), is_written=self._folder.put(place, page))
        self._progress(len(self._records))

    def _sources_of_other(self, place: str) -> str:
        designs = {design_place(name): name for name in self._site.designs}
        return self._sources.of_design(designs[place]) if place in designs else self._sources.of_the_book

    def _unchanged(self, place: str, sources: str) -> PageRecord | None:
        """Give the record of a page whose sources, and the page itself, are as they were; None for any other."""
        before = self._folder.pages.get(place)
        if before is None or before.sources != self._sources.with_names(sources, before.names):
            return None
        return before if self._folder.is_as_written(place) else None

    def _record(self, sources: str, page: bytes) -> PageRecord:
        names = tuple(sorted({*NAMED_LATER.findall(page.decode())}))
        return PageRecord(self._sources.with_names(sources, names), digest_of(page), names)

    def _note(self, place: str, record: PageRecord, *, is_written: bool) -> None:
        self._records[place] = record
        self._made += 1
        self._written += is_written


class _PhotoFiles:
    """The photos of one page as files of the site: each content is scaled once."""

    def __init__(self, folder: SiteFolder, known: Mapping[str, PhotoRecord]) -> None:
        self._folder, self._known = folder, known
        self.made: dict[str, PhotoRecord] = {}
        self.shown: list[str] = []

    def picture(self, content: bytes) -> Picture:
        """Give the picture of a photo; raises MisuseError for what is not one."""
        digest = sha256(content).hexdigest()
        photo = self._known.get(digest) or self.made.get(digest) or self._scaled(digest, content)
        self.shown.append(digest)
        return Picture(f"../{photo.file}", photo.width, photo.height)

    def _scaled(self, digest: str, content: bytes) -> PhotoRecord:
        made = scaled(content)
        photo = PhotoRecord(f"{PHOTOS}{digest_of(made.content)[:32]}.jpg", made.width, made.height)
        self._folder.put(photo.file, made.content)
        self.made[digest] = photo
        return photo


def _loaded(one: Facts, content: bytes) -> Job:
    job = load_job(one.path, content).job
    if job is None:
        raise MisuseError(f"{one.path} changed while the site was written", "run it again")
    return job
