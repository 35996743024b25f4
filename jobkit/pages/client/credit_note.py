"""A credit note on a page: which invoice it is for, what it gives back, and the tax in that."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.money import negated
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Title
from jobkit.pages.client.bill import lines_table, parties, rates_table
from jobkit.pages.client.bill_data import credit_note_data
from jobkit.pages.client.bill_words import NO_ADVICE, BillView
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.tax import opposite


def credit_note_page(view: BillView, note: Sheet) -> Answer:
    """Show one credit note of a job, its amounts without a minus."""
    return Answer(list(_blocks(view, note)), credit_note_data(view, note))


def _blocks(view: BillView, note: Sheet) -> Iterator[Block]:
    facts, sums, tax = view.facts, opposite(note.totals), view.bill.tax
    yield Title(f"Credit note {note.number}", 1)
    yield Pairs(
        [
            *parties(view),
            ("to invoice", f"{facts.invoice_number} of {facts.invoice_on}"),
            ("job", facts.id),
            ("date", note.day),
        ]
    )
    yield lines_table(sums, tax)
    yield rates_table(sums, tax)
    rounding = negated(note.rounding)
    yield Pairs(
        [
            ("rounding", str(rounding) if rounding.amount else ""),
            ("credited", str(negated(note.to_pay))),
        ]
    )
    if tax.note:
        yield Line(tax.note)
    yield Line(NO_ADVICE)
