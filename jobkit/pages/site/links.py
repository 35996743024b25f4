"""Where each page of a site is, and how one leads to another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from hashlib import sha256

from jobkit.pages.forms.html import Around

INDEX, SEARCH, STOCK, METERS, DUE, COMEBACKS = (
    "index.html", "search.html", "stock.html", "meters.html", "due.html", "comebacks.html",
)  # fmt: skip
_LONGEST = 80
NAMED_LATER = re.compile(r"\b(?:[A-Z][0-9]{2}-[0-9]{4,6}|[0-9]{4}-W[0-9]{2})\b")
"""Ids of jobs and weeks: words that are a link as soon as there is a page of that name."""
_UNSAFE = re.compile(r"[^A-Za-z0-9-]")

WAYS: Sequence[tuple[str, str]] = (
    ("jobs", INDEX), ("search", SEARCH), ("due", DUE), ("stock", STOCK), ("meters", METERS),
    ("comebacks", COMEBACKS),
)  # fmt: skip
"""The links above each page of a bench's own site."""


def job_place(job_id: str) -> str:
    """Name the page of a job.

    >>> job_place("K26-0047")
    'jobs/K26-0047.html'
    """
    return f"jobs/{_file(job_id)}.html"


def design_place(design: str) -> str:
    """Name the page of a design; what a file's name cannot hold is written out.

    >>> design_place("alder a/1")
    'designs/alder_20a_2f1.html'
    """
    return f"designs/{_file(design)}.html"


def week_place(week: object) -> str:
    """Name the page of a week."""
    return f"weeks/{week}.html"


def year_place(year: str) -> str:
    """Name the page of the jobs of an earlier year; "" for jobs without a date."""
    return f"years/{year or 'undated'}.html"


def year_words(year: str) -> str:
    """Name the jobs of a year."""
    return f"jobs of {year}" if year else "jobs without a date"


def _file(name: str) -> str:
    """Spell a name so that every disk takes it; a long one is cut, with a digest that tells it from its like."""
    safe = _UNSAFE.sub(lambda found: f"_{ord(found[0]):x}", name)
    if len(safe) <= _LONGEST:
        return safe
    return f"{safe[:_LONGEST]}_{sha256(name.encode('utf-8', 'surrogateescape')).hexdigest()[:12]}"


class Links:
    """The pages that there are, by what leads to them: ids of jobs, names of designs, weeks."""

    def __init__(
        self,
        jobs: Iterable[str],
        designs: Iterable[str] = (),
        weeks: Iterable[str] = (),
        years: Iterable[str] = (),
    ) -> None:
        places = {design: design_place(design) for design in designs}
        places |= {week: week_place(week) for week in weeks}
        places |= {year_words(year): year_place(year) for year in years}
        places |= {job: job_place(job) for job in jobs}
        self._here: Mapping[str, str] = places
        self._below: Mapping[str, str] = {name: f"../{place}" for name, place in places.items()}

    def __contains__(self, name: str) -> bool:
        """Tell whether a name leads to a page."""
        return name in self._here

    def around(self, place: str, ways: Sequence[tuple[str, str]] = WAYS) -> Around:
        """Give what is around the page at a place: the links, all of them relative."""
        if "/" not in place:
            return Around(links=self._here, ways=ways)
        return Around(links=self._below, ways=[(words, f"../{to}") for words, to in ways])
