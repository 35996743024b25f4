"""A credit note on a page: which invoice it is for, what it gives back, and the tax in that."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.money import negated
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Title
from jobkit.pages.client.bill import lines_table, parties, rates_table
from jobkit.pages.client.bill_data import credit_note_data
from jobkit.pages.client.bill_words import NO_ADVICE, BillView
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.tax import opposite


def credit_note_page(view: BillView, note: Sheet, lang: Language = ENGLISH) -> Answer:
    """Show one credit note of a job, its amounts without a minus."""
    return Answer(list(_blocks(view, note, lang)), credit_note_data(view, note))


def _blocks(view: BillView, note: Sheet, lang: Language) -> Iterator[Block]:
    facts, sums, tax = view.facts, opposite(note.totals), view.bill.tax
    yield Title(lang.say("Credit note {number}", number=note.number), 1)
    invoice = lang.say("{number} of {day}", number=facts.invoice_number, day=lang.iso_day(facts.invoice_on))
    yield Pairs(
        [
            *parties(view, lang),
            (lang.say("to invoice"), invoice),
            (lang.say("job"), facts.id),
            (lang.say("date"), lang.iso_day(note.day)),
        ]
    )
    yield Title("", name="lines")
    yield lines_table(sums, tax, lang)
    yield rates_table(sums, tax, lang)
    rounding = negated(note.rounding)
    yield Title("", name="balance")
    yield Pairs(
        [
            (lang.say("rounding"), lang.written(rounding) if rounding.amount else ""),
            (lang.say("credited"), lang.written(negated(note.to_pay))),
        ]
    )
    yield Title("", name="notes")
    if tax.note:
        yield Line(lang.own(tax.note))
    yield Line(lang.say(NO_ADVICE))
