"""Invoices and credit notes: their numbers."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, book_rule
from jobkit.reckon.money.invoice_number import (
    Numbered,
    Series,
    all_series,
    at,
    numbered,
    series_of,
)


def _has_papers(job: Facts, _bench: Bench) -> bool:
    return bool(job.invoice_number) or any(credit.number for credit in job.credits)


@book_rule("error", _has_papers, ("path", "invoice_number", "invoice_on", "credits"))
def invoice_number(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """Invoices are not numbered one after the other.

    What it finds: two invoices or credit notes with one number; a number whose predecessor is missing; a number of
    another year than its day; a credit after the invoice without a number; and a credit note without an invoice.

    Why it matters: a number names one paper and no other, and a gap looks like a paper that was taken away. Two clones
    with the same letter may issue one number twice; the merge keeps both. (This is not tax or legal advice.)

    How to fix: let `jobkit jot invoice` give the numbers. Of two papers with one number give the later one the free
    number that the finding names, add an `[[amended]]` entry, and send the corrected paper. Where a number went missing
    for a reason, add a waiver that says so.

    Example: `number = "K26-R-0012"` under [invoice] of two jobs.
    """
    yield from _credits(job)
    for paper in numbered(job):
        if paper.day and paper.number[1:3] != paper.day[2:4]:
            message = f"{paper.number} is a number of 20{paper.number[1:3]}, but its day is {paper.day}"
            yield _found(paper, message, "correct the number or the day")
        known = _series(paper, job, jobs)
        twins = known.twins(paper)
        if twins:
            yield _twin(paper, twins, known)
        elif known.gap_before(paper):
            yield _gap(paper, known)


def _series(paper: Numbered, job: Facts, jobs: Jobs) -> Series:
    start = series_of(paper.number)
    if jobs.is_whole:
        return jobs.once(_whole, Bench())[start]
    others = (one for one in jobs.mentioning(start) if one.path != job.path)
    return all_series((*others, job))[start]


def _whole(facts: tuple[Facts, ...], _bench: Bench) -> dict[str, Series]:
    return all_series(facts)


def _twin(paper: Numbered, twins: tuple[Numbered, ...], known: Series) -> Found:
    where = ", ".join(sorted({"this job" if one.path == paper.path else one.path for one in twins}))
    instead = known.instead.get(paper)
    mend = f'write number = "{instead}"' if instead else "the other one gets a new number"
    return _found(paper, f"{paper.number} is also the number of a paper of {where}", mend)


def _gap(paper: Numbered, known: Series) -> Found:
    missing = [at(series_of(paper.number), number) for number in known.missing_before(paper)]
    first, last = missing[0], missing[-1]
    those = f"{first} is" if first == last else f"{first} to {last} are"
    what = first if first == last else "the missing numbers"
    mend = f"give it the number {first}, or add a waiver that says what became of {what}"
    return _found(paper, f"{those} missing before {paper.number}", mend)


def _credits(job: Facts) -> Iterator[Found]:
    for index, credit in enumerate(job.credits):
        if credit.number and not job.invoice_number:
            message = f"{credit.number} is a credit note, and the job has no invoice"
            mend = "remove the number, or issue the invoice first: `jobkit jot invoice`"
            yield Found(("price", "credit", index, "number"), credit.number, message, mend)
        elif job.invoice_number and not credit.number and credit.day > job.invoice_on:
            message = f"the credit of {credit.day} is after the invoice and has no number"
            yield Found(("price", "credit", index), "credit", message, "give it one: `jobkit jot invoice`")


def _found(paper: Numbered, message: str, mend: str) -> Found:
    return Found(paper.place, paper.number, message, mend)
