"""The pages of a site: what they show is gathered as the commands of the same names do."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from functools import partial

from jobkit.cli.bench.job_view import job_view
from jobkit.cli.bench.site_plan import Site
from jobkit.cli.call.paper_around import photos_of
from jobkit.jobs.asof import job_as_of
from jobkit.jobs.duration import parse_within
from jobkit.jobs.job import Job
from jobkit.jobs.week import week_of
from jobkit.pages.bench.comebacks import comebacks_page
from jobkit.pages.bench.design import design_page
from jobkit.pages.bench.due import due_page
from jobkit.pages.bench.job import job_page
from jobkit.pages.bench.stock import stock_page
from jobkit.pages.bench.usual import usual_page
from jobkit.pages.bench.usual_data import UsualView
from jobkit.pages.bench.week import week_page
from jobkit.pages.blocks import Answer, Photo, Title, visible_in_browser
from jobkit.pages.client.heat_curves import heat_curves
from jobkit.pages.client.report_charts import board_map, load_curves, reading_strips
from jobkit.pages.forms.html import Around, as_html
from jobkit.pages.forms.picture import Picture
from jobkit.pages.site.boards import board_page
from jobkit.pages.site.links import (
    COMEBACKS,
    DUE,
    INDEX,
    METERS,
    SEARCH,
    STOCK,
    design_place,
    job_place,
    week_place,
    year_place,
)
from jobkit.pages.site.lists import SCRIPT, Contents, Found, index_page, meters_page, search_page, year_page
from jobkit.reckon.client.paper import Paper, paper
from jobkit.reckon.client.photos import photos
from jobkit.reckon.load_run.usual_under_load import usual_under_load
from jobkit.reckon.progress.due import due
from jobkit.reckon.progress.week import ahead, week_summary
from jobkit.reckon.readings.usual import usual_of
from jobkit.reckon.stock.donors import donors as donors_of
from jobkit.reckon.stock.on_hand import stock as stock_of
from jobkit.reckon.stock.several import donors_in_books, stock_in_books
from jobkit.reckon.warranty.comebacks import study
from jobkit.reckon.warranty.cover import cover

_AHEAD = "P30D"
FILES = "'self'"
"""Where the pages of a site get their photos from: files beside them."""


def draw_job(site: Site, job: Job, picture: Callable[[bytes], Picture]) -> str:
    """Draw the page of a job; `picture` makes a picture of a photo's content."""
    answer = job_page(job_view(site.book, job, site.on, site.boards))
    sheet = sheet_of(site, job)
    shown = [Photo(photo.file, photo.caption or what) for what, photo in photos(sheet.job)]
    more = [*board_map(sheet), *reading_strips(sheet), *heat_curves(sheet), *load_curves(sheet), *shown]
    blocks = [*answer.page, Title("Drawings and photos"), *more] if more else answer.page
    pictures = photos_of(site.book.shelf, job.path, picture)
    around = site.links.around(job_place(job.id))._replace(pictures=pictures, pictures_from=FILES)
    return drawn(answer._replace(page=blocks), around)


def sheet_of(site: Site, job: Job) -> Paper:
    """Gather what drawings show; the warranty, which they do not show, is that of the job alone."""
    covered = cover(job.id, {}, site.book.bench.settings.warranty, site.on)
    return paper(job_as_of(job, site.on), site.book.bench, covered, None, site.on, site.boards.usual(job))


def drawn(answer: Answer, around: Around) -> str:
    """Draw an answer as a page."""
    return as_html(visible_in_browser(answer.page), around)


def other_pages(site: Site) -> Mapping[str, Callable[[], str]]:
    """Give for each page that is neither of a job nor the search what draws it."""
    made: dict[str, Callable[[], Answer]] = {
        INDEX: lambda: index_page(
            Contents(_name(site), site.on, site.facts, site.designs, site.weeks, site.years)
        ),
        METERS: lambda: meters_page(site.book.bench, site.on),
        DUE: lambda: _due(site),
        STOCK: lambda: _stock(site),
        COMEBACKS: lambda: comebacks_page(_name(site), study([site.book.bench], site.on)),
    }
    made |= {design_place(name): partial(_design, site, name) for name in site.designs}
    made |= {week_place(name): partial(_week, site, back) for back, name in enumerate(reversed(site.weeks))}
    made |= {year_place(year): partial(year_page, year, site.years[year]) for year in site.earlier_years}
    return {place: partial(_page, site, place, answer) for place, answer in made.items()}


def draw_search(site: Site, found: Mapping[str, Found]) -> str:
    """Draw the search, from what each job is found by."""
    return drawn(search_page(site.facts, found), site.links.around(SEARCH)._replace(script=SCRIPT))


def _page(site: Site, place: str, answer: Callable[[], Answer]) -> str:
    return drawn(answer(), site.links.around(place))


def _name(site: Site) -> str:
    return site.book.bench.settings.name


def _due(site: Site) -> Answer:
    within = parse_within(_AHEAD)
    return due_page(_name(site), due(site.book.bench, site.on, within), site.on, within)


def _stock(site: Site) -> Answer:
    bench = site.book.bench
    stock = stock_in_books(("",), [stock_of(site.facts, bench, site.on)])
    donors = donors_in_books(("",), [donors_of(site.facts, bench.designs)])
    return stock_page(_name(site), stock, donors)


def _design(site: Site, name: str) -> Answer:
    bench = site.book.bench
    known = bench.designs.get(name)
    learned = usual_of(name, site.facts, bench)
    usual = usual_page(UsualView(learned, site.on, under_load=usual_under_load(name, site.facts, bench)))
    return board_page(name, design_page(known) if known else None, usual, learned, known)


def _week(site: Site, back: int) -> Answer:
    bench, week = site.book.bench, week_of(site.on - timedelta(weeks=back))
    summary = week_summary([bench], week, site.on)
    return week_page(bench.settings.name, summary, ahead([bench], summary))
