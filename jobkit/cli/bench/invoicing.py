"""Numbers for invoices and credit notes: one writer at a time, so that two never get the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from typing import Any

from jobkit.book.read.load import load_jobs, open_for_few
from jobkit.book.setup.id_letter import letter_of
from jobkit.book.shelf.opening import Tree
from jobkit.book.write.disk import one_at_a_time
from jobkit.cli.bench.writing import Writing, check_bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Credit, Payment, Refund
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.money import negated, parse_money, total
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.invoice_number import next_numbers, numbered, series, series_of
from jobkit.reckon.money.priced import NOTHING, QUOTED, basis, priced
from jobkit.reckon.money.refunds import paid_sums
from jobkit.units.errors import MisuseError


@contextmanager
def numbers(writing: Writing, year: int) -> Iterator[Iterator[str]]:
    """Give the next numbers of the series of this bench; whoever else asks waits until they are written."""
    check_bench(writing.book, "letter")
    with one_at_a_time(writing.root, "invoice-numbers"):
        start = series(letter_of(writing.root, writing.book.bench.settings), year)
        yield next_numbers(_jobs_with(writing, start), start)


@contextmanager
def held(writing: Writing, number: str, day: date) -> Iterator[None]:
    """Hold a number that was typed until it is written.

    Raises MisuseError where another paper has it, and for a number of another year than the day of the paper.
    """
    start = series_of(number)
    # A number of another form is refused with the form that it should have, when it is written.
    if start[3:] == "-R-" and start != series(start[0], day.year):
        message = f"{number} is a number of 20{number[1:3]}, but its day is {day}"
        raise MisuseError(message, "correct the number, or give the day with `on`")
    with one_at_a_time(writing.root, "invoice-numbers"):
        jobs = _jobs_with(writing, start)
        other = next((one for job in jobs for one in numbered(job) if one.number == number), None)
        if other:
            message = f"{number} is already the number of a paper of {other.path}"
            free = next(next_numbers(jobs, start))
            raise MisuseError(message, f"the next free number is {free}: `jobkit jot invoice` gives it")
        yield


def check_not_invoiced(job: Job) -> None:
    """Refuse a second invoice, or another number for the one that is issued; raises MisuseError."""
    if job.invoice and job.invoice.number:
        message = f"{job.id} has the invoice {job.invoice.number} of {job.invoice.on}"
        mend = "to correct its number, change it in the file and add an [[amended]] entry that says why"
        raise MisuseError(message, mend)


def invoice_of(writing: Writing, job: Job, given: Mapping[str, Any]) -> date:
    """Return the day of a new invoice; raises MisuseError where the job cannot be invoiced yet."""
    day: date = given.get("on") or writing.now.date()
    if day > writing.now.date():
        raise MisuseError(f"{day} is in the future", "date the invoice today or earlier")
    facts = facts_of(job)
    over = facts.finished or facts.declined or facts.gone
    if not over:
        raise MisuseError(f"{job.id} is not finished", "finish it first: `jobkit jot finished`")
    if basis(facts) in {NOTHING, QUOTED}:
        mend = "write what you charge, as in `jobkit jot price charged 155`"
        raise MisuseError(f"{job.id} has no price that the client agreed to or was charged", mend)
    made = bill(facts, writing.book.bench, on=day.isoformat())
    if made.to_pay.amount < 0:
        mend = "correct the credits and discounts, or what was charged"
        raise MisuseError(f"the invoice of {job.id} would be {made.to_pay}", mend)
    return day


def unnumbered(job: Job) -> list[tuple[int, Credit]]:
    """List the credits after the invoice that have no number yet; raises MisuseError where there is none."""
    invoice, credits_ = job.invoice, job.price.credits if job.price else ()
    assert invoice is not None
    found = [
        (index, one)
        for index, one in enumerate(credits_)
        if one.on and not one.number and invoice.on and one.on > invoice.on
    ]
    if not found:
        message = f"{job.id} has the invoice {invoice.number} of {invoice.on}"
        raise MisuseError(
            message, "what is wrong with it is corrected by a credit: `jobkit jot credit 10 why`"
        )
    return found


def check_above_zero(name: str, entry: Mapping[str, Any]) -> None:
    """Refuse a payment, credit, refund or discount of nothing; raises MisuseError."""
    if name in {"payment", "credit", "refund", "discount"} and "amount" in entry:
        amount = parse_money(entry["amount"])
        if not amount.amount:
            raise MisuseError(f"the amount of a {name} cannot be {amount}", "write an amount above 0")


def check_credit(job: Job, entry: Mapping[str, Any]) -> None:
    """Refuse a credit after the invoice that is above what is left of it; raises MisuseError."""
    lines = priced(facts_of(job))
    given = parse_money(entry["amount"]) if "amount" in entry else None
    if job.invoice is None or given is None or any(line.each.currency != given.currency for line in lines):
        return
    left = total((line.amount for line in lines), given.currency)
    if given.amount > left.amount:
        message = f"{given} is more than the {left} that are left of the invoice {job.invoice.number}"
        mend = f"credit at most {left}; money that was paid too much goes back as `jobkit jot refund`"
        raise MisuseError(message, mend)


def check_refund(job: Job, entry: Mapping[str, Any]) -> None:
    """Refuse a refund of more than was paid and is not paid back yet; raises MisuseError."""
    facts = facts_of(job)
    given = parse_money(entry["amount"]) if "amount" in entry else None
    sums = [parse_money(one.amount) for one in (*facts.payments, *facts.refunds) if one.amount]
    if given is None or any(one.currency != given.currency for one in sums):
        return
    if facts.paid and not facts.payments:
        return  # paid in whatever way, with no sum written down
    paid, refunded = paid_sums(facts, given.currency)
    left = total([paid, negated(refunded)], given.currency)
    if given.amount > left.amount:
        message = f"{given} is more than the {left} that were paid and are not paid back"
        raise MisuseError(
            message, "write down the missing payment first (`jobkit jot payment`), or correct the amount"
        )


def twin_lines(job: Job, name: str, entry: Mapping[str, Any]) -> Iterator[str]:
    """Say that a payment, refund or credit of this amount and day is there already."""
    day, amount = entry.get("on"), entry.get("amount")
    if (day, amount) in _amounts(job, name):
        yield f"    there was a {name} of {amount} on {day} already; if this is the same one: `jobkit undo`"


def _amounts(job: Job, name: str) -> list[tuple[date | None, str]]:
    """List day and amount of each payment, refund or credit; nothing for any other name."""
    if job.price is None:
        return []
    there: Mapping[str, Sequence[Payment | Refund | Credit]] = {
        "payment": job.price.payments,
        "refund": job.price.refunds,
        "credit": job.price.credits,
    }
    return [(one.on, str(one.amount)) for one in there.get(name, ())]


def _jobs_with(writing: Writing, start: str) -> list[Facts]:
    """Read the jobs as they are now in whose text a number of the series is."""
    shelf = open_for_few(Tree(writing.root)).shelf
    loaded = load_jobs(shelf, shelf.jobs_containing(start))
    return [facts_of(one.job) for one in loaded if one.job]
