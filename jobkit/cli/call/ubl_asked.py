"""An invoice or a credit note as data, where it is issued and lacks nothing."""

from __future__ import annotations

from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.opening import Tree
from jobkit.cli.call.streams import say
from jobkit.pages.client.bill_words import BillView
from jobkit.pages.client.ubl import as_ubl
from jobkit.pages.language.language import Language
from jobkit.reckon.money.account import BillError
from jobkit.reckon.money.bill import BREAKDOWN, bill
from jobkit.reckon.money.invoice_lacks import check_complete, rounded_otherwise
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.structured_invoice import (
    Issued,
    as_issued,
    issued_credit_note,
    issued_invoice,
    structured,
)


def ubl_asked(book: OpenBook, view: BillView, note: Sheet | None, lang: Language) -> str:
    """Write an invoice, or this credit note of it, in UBL; raises MisuseError where that cannot be."""
    _check_issued(book, view)
    issued = issued_credit_note(note, view.facts, view.bill) if note else _issued(book, view)
    check_complete(issued, view.bench, view.facts.client, view.client)
    assert view.client is not None
    made = structured(issued, view.facts, view.bench, view.client)
    for line in rounded_otherwise(made):
        say(f"jobkit: {line}")
    return as_ubl(made, lang)


def _check_issued(book: OpenBook, view: BillView) -> None:
    job = view.facts.id
    if view.bill.basis == BREAKDOWN and view.facts.invoice_number:
        raise BillError(f"{job} by the minute is not its invoice", "leave --breakdown out")
    if not view.is_invoice:
        message = f"{job} is an estimate, and only an invoice can be given as data"
        raise BillError(message, f"issue it first: `jobkit jot invoice --job {job}`")
    if not isinstance(book.shelf, Tree):
        message = "an invoice as data needs name and address of the client, which are not in git"
        raise BillError(message, "leave --rev out")


def _issued(book: OpenBook, view: BillView) -> Issued:
    """Make out the bill again as it was issued."""
    made = bill(as_issued(view.facts), book.bench, on=view.on.isoformat())
    return issued_invoice(made, view.facts, view.supplied, str(view.pay_until or ""))
