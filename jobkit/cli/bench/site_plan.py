"""What a site has: the jobs, designs and weeks with pages, and how the pages lead to each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property

from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.contents import ShelfContents
from jobkit.cli.call.boards import Boards, boards_among
from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.week import week_of
from jobkit.named_tuple import NamedTuple
from jobkit.pages.site.links import (
    COMEBACKS,
    DUE,
    INDEX,
    METERS,
    SEARCH,
    STOCK,
    Links,
    design_place,
    job_place,
    week_place,
    year_place,
)
from jobkit.pages.site.lists import by_year
from jobkit.reckon.progress.week_course import COURSE


class _Plan(NamedTuple):
    """A book whose facts were read; `facts` are those known at the end of the day `on`."""

    book: OpenBook
    on: date
    facts: tuple[Facts, ...]
    designs: tuple[str, ...] = ()
    weeks: tuple[str, ...] = ()


class Site(_Plan):
    """A planned site: what it shows, and the names that have pages."""

    @cached_property
    def jobs(self) -> Mapping[str, Facts]:
        """The jobs by the place of their page."""
        return {job_place(one.id): one for one in self.facts}

    @cached_property
    def links(self) -> Links:
        """How pages lead to each other."""
        return Links([one.id for one in self.facts], self.designs, self.weeks, self.earlier_years)

    @cached_property
    def years(self) -> Mapping[str, Sequence[Facts]]:
        """The jobs by the year in which they came, the latest first."""
        return by_year(self.facts)

    @property
    def earlier_years(self) -> list[str]:
        """The years that have a page of their own."""
        return list(self.years)[1:]

    @cached_property
    def boards(self) -> Boards:
        """What is known of boards."""
        return boards_among(self.facts, self.book.bench)

    @property
    def pages(self) -> list[str]:
        """Name every page."""
        designs, weeks = map(design_place, self.designs), map(week_place, self.weeks)
        years = map(year_place, self.earlier_years)
        lists = (INDEX, SEARCH, STOCK, METERS, DUE, COMEBACKS)
        return list(dict.fromkeys((*self.jobs, *designs, *weeks, *years, *lists)))


def site_of(book: OpenBook, facts: Sequence[Facts], on: date) -> Site:
    """Plan the site of a book whose `facts` are those of all jobs."""
    known = tuple(facts_as_of(facts, on))
    designs = tuple(sorted({*book.bench.designs, *(one.design for one in known if one.design)}))
    weeks = [str(week_of(on - timedelta(weeks=back))) for back in reversed(range(COURSE))]
    return Site(with_facts(book, facts), on, known, designs, tuple(weeks))


def with_facts(book: OpenBook, facts: Iterable[Facts]) -> OpenBook:
    """Give a book the facts of all its jobs, and leave out the store, which no two processes share well."""
    return book._replace(bench=book.bench._replace(facts=tuple(facts)), cache=None)


def forget_files(site: Site) -> None:
    """Forget the logs that were read, so that a large book takes no more memory than a small one."""
    contents = site.book.bench.contents
    if isinstance(contents, ShelfContents):
        contents.forget()
