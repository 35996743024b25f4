"""The invoice or credit note that is asked for, and what it lacks before it can go out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.client import Client
from jobkit.jobs.facts import Facts
from jobkit.pages.client.bill_words import BillView
from jobkit.reckon.money.bill import Bill
from jobkit.reckon.money.debts import pay_until
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.terms import supply_day
from jobkit.units.errors import MisuseError
from jobkit.units.slip import either


def view_of(bench: Bench, facts: Facts, on: date, made: Bill, client: Client | None) -> BillView:
    """Gather what the page of a bill shows."""
    supplied = supply_day(facts, bench.settings, on.isoformat())
    until = pay_until(facts.invoice_on, bench) if facts.invoice_on else None
    return BillView(bench.settings, facts, on, made, client, supplied, until)


def note_asked(made: Bill, number: str) -> Sheet:
    """Find a credit note by its number; raises MisuseError."""
    found = next((note for note in made.notes if note.number and note.number == number.upper()), None)
    if found is None:
        known = tuple(note.number for note in made.notes if note.number)
        mend = f"write {either(known)}" if known else "`jobkit jot credit` after the invoice makes one"
        raise MisuseError(f"{made.job} has no credit note {number}", mend)
    return found


def lacking(view: BillView, *, names_asked: bool) -> Iterator[str]:
    """Say what an invoice usually needs and this one lacks (VAT Directive 2006/112/EC, article 226 (3) and (5)).

    Name and address of the client are missed only where they were asked for: an older revision has none. An account is
    missed while there is something to pay.
    """
    if not view.is_invoice:
        return
    bench, ref = view.bench, view.facts.client
    clients, own = f"under [client.{ref}]", "under [bench]"
    if names_asked and view.client is None:
        yield f"no name for {ref} in private/clients.toml; write name and address {clients}"
    elif view.client and not view.client.address:
        yield f"no address for {ref} in private/clients.toml; write address {clients}"
    if not bench.address:
        yield f"no address of the bench in bench.toml; write address {own}"
    if view.bill.totals.tax.amount and not bench.tax_number:
        yield f"no tax_number in bench.toml, and the invoice has tax; write tax_number {own}"
    if view.bill.owed and view.bill.owed.amount > 0 and not bench.account:
        yield f"no account in bench.toml; write account {own}, so that the invoice says where to pay"
