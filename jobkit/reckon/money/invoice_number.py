"""The numbers of invoices and credit notes: one series for each letter and year, without gaps and without twins.

A sequential number that names one paper alone is what VAT Directive 2006/112/EC, article 226 (2), asks of an invoice.
This is not tax or legal advice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.finding import Place
from jobkit.named_tuple import NamedTuple


class Numbered(NamedTuple):
    """A paper with a number: its day, the file of its job, and where the number is in the file."""

    number: str
    day: Day
    path: str
    place: Place


def series_of(number: str) -> str:
    """Return how all numbers of a series begin.

    >>> series_of("K26-R-0012")
    'K26-R-'
    """
    return number[:6]


def series(letter: str, year: int) -> str:
    """Return how the numbers of a letter and year begin."""
    return f"{letter}{year % 100:02d}-R-"


def at(start: str, running: int) -> str:
    """Write a number of a series."""
    return f"{start}{running:04d}"


def running(number: str) -> int:
    """Return the running number."""
    return int(number[6:])


def numbered(job: Facts) -> Iterator[Numbered]:
    """Yield the papers of a job that have a number: the invoice, then its credit notes."""
    if job.invoice_number:
        yield Numbered(job.invoice_number, job.invoice_on, job.path, ("invoice", "number"))
    for index, credit in enumerate(job.credits):
        if credit.number:
            yield Numbered(credit.number, credit.day, job.path, ("price", "credit", index, "number"))


def next_numbers(jobs: Iterable[Facts], start: str) -> Iterator[str]:
    """Yield the numbers behind the last one of a series that jobs have, in turn."""
    taken = [running(one.number) for job in jobs for one in numbered(job) if one.number.startswith(start)]
    last = max(taken, default=0)
    while True:
        last += 1
        yield at(start, last)


class Series(NamedTuple):
    """The papers of one series by running number, each in the order of days, and a free number for each twin."""

    papers: Mapping[int, tuple[Numbered, ...]]
    instead: Mapping[Numbered, str]

    def twins(self, paper: Numbered) -> tuple[Numbered, ...]:
        """Return the other papers with the number of this one."""
        return tuple(one for one in self.papers.get(running(paper.number), ()) if one != paper)

    def gap_before(self, paper: Numbered) -> bool:
        """Tell whether the number before this one is missing, though the series has begun."""
        return running(paper.number) - 1 not in self.papers and min(self.papers) < running(paper.number)

    def missing_before(self, paper: Numbered) -> range:
        """Return the running numbers between this paper and the one before it; there is one before it."""
        number = running(paper.number)
        return range(max(one for one in self.papers if one < number) + 1, number)


def all_series(jobs: Iterable[Facts]) -> dict[str, Series]:
    """Sort all papers of jobs into their series, by how the numbers begin."""
    found: dict[str, dict[int, list[Numbered]]] = {}
    for job in jobs:
        for paper in numbered(job):
            by_number = found.setdefault(series_of(paper.number), {})
            by_number.setdefault(running(paper.number), []).append(paper)
    return {start: _series(start, by_number) for start, by_number in found.items()}


def _series(start: str, by_number: Mapping[int, list[Numbered]]) -> Series:
    papers = {number: tuple(sorted(ones, key=_order)) for number, ones in by_number.items()}
    surplus = sorted((one for ones in papers.values() for one in ones[1:]), key=_order)
    free = range(max(papers) + 1, max(papers) + 1 + len(surplus))
    return Series(papers, {paper: at(start, number) for paper, number in zip(surplus, free, strict=True)})


def _order(paper: Numbered) -> tuple[Day, str, str]:
    return paper.day, paper.path, str(paper.place)
