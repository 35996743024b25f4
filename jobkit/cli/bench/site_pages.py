"""The pages of a site, one after the other: what they show is gathered as the commands of the same names do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from jobkit.book.read.load import OpenBook, load_job, load_jobs
from jobkit.cli.bench.job_view import job_view
from jobkit.cli.call.boards import usual_for
from jobkit.cli.call.cover_asked import cover_asked
from jobkit.cli.call.paper_around import photos_of
from jobkit.jobs.asof import facts_as_of, job_as_of, known_on
from jobkit.jobs.duration import parse_within
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.week import week_of
from jobkit.pages.bench.design import design_page
from jobkit.pages.bench.due import due_page
from jobkit.pages.bench.job import job_page
from jobkit.pages.bench.stock import stock_page
from jobkit.pages.bench.usual import usual_page
from jobkit.pages.bench.usual_data import UsualView
from jobkit.pages.bench.week import week_page
from jobkit.pages.blocks import Answer, Photo, Title, visible_in_browser
from jobkit.pages.client.heat_curves import heat_curves
from jobkit.pages.client.public import public_page
from jobkit.pages.client.report_charts import board_map, load_curves, reading_strips
from jobkit.pages.forms.html import Around, as_html
from jobkit.pages.site.boards import board_page
from jobkit.pages.site.links import (
    DUE,
    INDEX,
    METERS,
    SEARCH,
    STOCK,
    Links,
    design_place,
    job_place,
    week_place,
)
from jobkit.pages.site.lists import (
    SCRIPT,
    Found,
    found_by,
    index_page,
    meters_page,
    public_index,
    search_page,
)
from jobkit.reckon.client.paper import Paper, paper
from jobkit.reckon.client.photos import photos
from jobkit.reckon.load_run.usual_under_load import usual_under_load
from jobkit.reckon.progress.due import due
from jobkit.reckon.progress.week import ahead, week_summary
from jobkit.reckon.progress.week_course import COURSE
from jobkit.reckon.readings.usual import usual_of
from jobkit.reckon.stock.donors import donors as donors_of
from jobkit.reckon.stock.on_hand import stock as stock_of
from jobkit.reckon.stock.several import donors_in_books, stock_in_books
from jobkit.units.errors import MisuseError

_AHEAD = "P30D"
Page = tuple[str, str]
"""The place of a page in the site, and the page."""


class Site(NamedTuple):
    """A book whose facts were read, as they were known at the end of a day, and the names that have pages."""

    book: OpenBook
    on: date
    facts: tuple[Facts, ...]
    designs: tuple[str, ...]
    weeks: tuple[str, ...]
    links: Links
    known: Mapping[str, Facts]

    @property
    def pages(self) -> list[str]:
        """Name every page."""
        jobs = [job_place(one.id) for one in self.facts]
        designs, weeks = map(design_place, self.designs), map(week_place, self.weeks)
        return list(dict.fromkeys((*jobs, *designs, *weeks, INDEX, SEARCH, STOCK, METERS, DUE)))


def site_of(book: OpenBook, facts: Sequence[Facts], on: date) -> Site:
    """Plan the site of a book whose `facts` are those of all jobs."""
    known = tuple(facts_as_of(facts, on))
    opened = book._replace(bench=book.bench._replace(facts=tuple(facts)))
    designs = tuple(sorted({*book.bench.designs, *(one.design for one in known if one.design)}))
    weeks = [str(week_of(on - timedelta(weeks=back))) for back in reversed(range(COURSE))]
    return Site(
        opened,
        on,
        known,
        designs,
        tuple(weeks),
        Links([one.id for one in known], designs, weeks),
        known_on(facts, on),
    )


def pages_of(site: Site) -> Iterator[Page]:
    """Make every page of a bench's own site; jobs first, as search needs what they were found by."""
    found: dict[str, Found] = {}
    for one in site.facts:
        job = load_job(one.path, site.book.shelf.read(one.path)).job
        if job is None:
            raise MisuseError(f"{one.path} changed while the site was written", "run it again")
        found[job.id] = found_by(job)
        yield _job(site, job)
    yield from (_design(site, name) for name in site.designs)
    yield from (_week(site, back) for back in range(COURSE))
    bench, name = site.book.bench, site.book.bench.settings.name
    yield _page(site, INDEX, index_page(name, site.facts, site.designs, site.weeks, site.on))
    yield _page(site, METERS, meters_page(bench, site.on))
    within = parse_within(_AHEAD)
    yield _page(site, DUE, due_page(name, due(bench, site.on, within), site.on, within))
    stock = stock_in_books(("",), [stock_of(site.facts, bench, site.on)])
    donors = donors_in_books(("",), [donors_of(site.facts, bench.designs)])
    yield _page(site, STOCK, stock_page(name, stock, donors))
    yield SEARCH, _drawn(search_page(site.facts, found), site.links.around(SEARCH)._replace(script=SCRIPT))


def _page(site: Site, place: str, answer: Answer) -> Page:
    return place, _drawn(answer, site.links.around(place))


def _drawn(answer: Answer, around: Around) -> str:
    return as_html(visible_in_browser(answer.page), around)


def _job(site: Site, job: Job) -> Page:
    answer = job_page(job_view(site.book, job, site.on))
    drawn = _paper(site, job)
    shown = [Photo(photo.file, photo.caption or what) for what, photo in photos(drawn.job)]
    more = [*board_map(drawn), *reading_strips(drawn), *heat_curves(drawn), *load_curves(drawn), *shown]
    blocks = [*answer.page, Title("Drawings and photos"), *more] if more else answer.page
    place = job_place(job.id)
    around = site.links.around(place)._replace(pictures=photos_of(site.book.shelf, job.path))
    return place, _drawn(answer._replace(page=blocks), around)


def _paper(site: Site, job: Job) -> Paper:
    covered = cover_asked(site.book, job, site.known, site.on)
    usual = usual_for(site.book, job, site.on)
    return paper(job_as_of(job, site.on), site.book.bench, covered, None, site.on, usual)


def _design(site: Site, name: str) -> Page:
    bench = site.book.bench
    known = bench.designs.get(name)
    learned = usual_of(name, site.facts, bench)
    usual = usual_page(UsualView(learned, site.on, under_load=usual_under_load(name, site.facts, bench)))
    return _page(
        site,
        design_place(name),
        board_page(name, design_page(known) if known else None, usual, learned, known),
    )


def _week(site: Site, back: int) -> Page:
    bench, week = site.book.bench, week_of(site.on - timedelta(weeks=back))
    summary = week_summary([bench], week, site.on)
    return _page(site, week_place(week), week_page(bench.settings.name, summary, ahead([bench], summary)))


class PublicSite(NamedTuple):
    """The repairs of a book that are marked as public and finished, and how their pages lead to each other."""

    site: Site
    jobs: tuple[Job, ...]

    @property
    def pages(self) -> list[str]:
        """Name every page."""
        return [INDEX, *(job_place(job.id) for job in self.jobs)]


def public_site_of(book: OpenBook, facts: Sequence[Facts], on: date) -> PublicSite:
    """Plan the public site of a book."""
    ended = [one for one in facts_as_of(facts, on) if one.finished]
    loaded = (one.job for one in load_jobs(book.shelf, [one.path for one in ended]))
    jobs = tuple(job for job in loaded if job and job.public)
    opened = book._replace(bench=book.bench._replace(facts=tuple(facts)))
    return PublicSite(
        Site(opened, on, (), (), (), Links([job.id for job in jobs]), known_on(facts, on)), jobs
    )


def public_pages_of(public: PublicSite) -> Iterator[Page]:
    """Make every page of a public site."""
    ways = (("all repairs", INDEX),)
    site = public.site
    for job in public.jobs:
        place = job_place(job.id)
        around = site.links.around(place, ways)._replace(pictures=photos_of(site.book.shelf, job.path))
        yield place, _drawn(public_page(_paper(site, job)), around)
    yield (
        INDEX,
        _drawn(public_index(site.book.bench.settings.name, public.jobs), site.links.around(INDEX, ())),
    )
