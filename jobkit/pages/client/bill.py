"""A bill on a page, so that every figure can be followed by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.money import Money, negated, parse_money
from jobkit.jobs.settings import Tax
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.client.bill_data import bill_data
from jobkit.pages.client.bill_words import BillView, notes
from jobkit.pages.client.report_parts import client_line
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.words import listed
from jobkit.reckon.money.bill import BREAKDOWN, Bill
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.tax import AtRate, Billed, Totals
from jobkit.units.phrase import phrase

_DATES = {
    "received": phrase("received {day}"),
    "declined": phrase("declined {day}"),
    "finished": phrase("finished {day}"),
    "sent": phrase("sent {day}"),
    "collected": phrase("collected {day}"),
}


def bill_page(view: BillView, lang: Language = ENGLISH) -> Answer:
    """Show a bill: its lines, the tax at each rate, what was paid and what is left, and how that was calculated."""
    return Answer(list(_blocks(view, lang)), bill_data(view))


def _blocks(view: BillView, lang: Language) -> Iterator[Block]:
    bill = view.bill
    yield Title(_called(view, lang), 1)
    yield Pairs(_head(view, lang))
    yield Title("", name="lines")
    if bill.totals.lines:
        yield lines_table(bill.totals, bill.tax, lang)
        yield rates_table(bill.totals, bill.tax, lang)
    else:
        yield Line(lang.say("There is nothing to bill yet."))
    if bill.payments or bill.refunds:
        yield Title("", name="payments")
    if bill.payments:
        rows = [_paid(one.day, one.amount, one.note, lang) for one in bill.payments]
        yield _paid_table(lang.say("paid on"), rows, lang)
    if bill.refunds:
        rows = [_paid(one.day, one.amount, one.note, lang) for one in bill.refunds]
        yield _paid_table(lang.say("paid back on"), rows, lang)
    yield Title("", name="balance")
    yield Pairs(_left(view, lang))
    yield Title("", name="notes")
    yield from map(Line, notes(view, lang))


def _paid(day: str, amount: str, note: str, lang: Language) -> tuple[str, str, str]:
    return lang.iso_day(day), lang.written(parse_money(amount)), note


def _paid_table(head: str, rows: Sequence[Sequence[str]], lang: Language) -> Table:
    amount = lang.say("amount")
    return Table((head, amount, lang.say("note")), rows, right=(amount,))


def _called(view: BillView, lang: Language) -> str:
    if view.bill.basis == BREAKDOWN:
        return lang.say("{job}: price calculated from time and parts", job=view.facts.id)
    if view.is_invoice:
        return lang.say("Invoice {number}", number=view.facts.invoice_number)
    return lang.say("Estimate {job}", job=view.facts.id)


def _head(view: BillView, lang: Language) -> list[tuple[str, str]]:
    facts = view.facts
    dates = ((words, getattr(facts, name)) for name, words in _DATES.items())
    done = [lang.say(words, day=lang.iso_day(day)) for words, day in dates if day]
    serial = lang.say("serial {serial}", serial=facts.serial) if facts.serial else ""
    return [
        *parties(view, lang),
        (lang.say("job"), facts.id if view.is_invoice else ""),
        (lang.say("board", "head"), listed(lang.own(facts.kind), facts.design, serial)),
        (lang.say("dates"), ", ".join(done)),
        *(_terms(view, lang) if view.is_invoice else [(lang.say("date"), lang.day(view.on))]),
    ]


def parties(view: BillView, lang: Language = ENGLISH) -> list[tuple[str, str]]:
    """Say from whom to whom a paper of money goes."""
    bench, client = view.bench, view.client
    return [
        (lang.say("from", "head"), ", ".join((bench.name, *bench.address))),
        (lang.say("our tax number"), bench.tax_number or ""),
        (lang.say("to", "head"), client_line(client)),
        (lang.say("your tax number"), (client and client.tax_number) or ""),
        (lang.say("client number"), view.facts.client),
    ]


def _terms(view: BillView, lang: Language) -> list[tuple[str, str]]:
    """Say what only an invoice does: its day, the day of supply, until when and to which account to pay."""
    return [
        (lang.say("invoice date"), lang.iso_day(view.facts.invoice_on)),
        (lang.say("day of supply"), lang.iso_day(view.supplied)),
        (lang.say("to be paid by"), lang.day(view.pay_until)),
        (lang.say("account"), view.bench.account or ""),
    ]


def lines_table(sums: Totals, tax: Tax, lang: Language = ENGLISH) -> Table:
    """Show the lines; the tax of each only where it is rounded there, for else it cannot be followed line by line."""
    name = lang.own(tax.name)
    prices = lang.say("net") if tax.prices == "net" else lang.say("gross")
    heads = [
        lang.say("what", "bill"),
        lang.say("quantity"),
        lang.say("each"),
        prices,
        lang.say("{tax} rate", tax=name),
    ]
    rows = [[*_line(row, tax, lang), lang.percent(row.line.percent)] for row in sums.lines]
    if tax.rounded == "line":
        heads.append(name)
        rows = [[*cells, lang.written(row.tax)] for cells, row in zip(rows, sums.lines, strict=True)]
    return Table(heads, rows, right=heads[1:])


def _line(row: Billed, tax: Tax, lang: Language) -> list[str]:
    amount = row.net if tax.prices == "net" else row.gross
    return [
        lang.own(row.line.what),
        _quantity(row.line.quantity, lang),
        lang.written(row.line.each),
        lang.written(amount),
    ]


def rates_table(sums: Totals, tax: Tax, lang: Language = ENGLISH) -> Table:
    """Show the tax at each rate, and in all."""
    name = lang.own(tax.name)
    heads = (lang.say("at {tax} rate", tax=name), lang.say("net"), name, lang.say("gross"))
    rows = [_amounts(lang.percent(each.percent), each, lang) for each in sums.rates]
    if len(rows) > 1:
        rows.append(_amounts(lang.say("in all"), sums, lang))
    return Table(heads, rows, right=heads[1:])


def _amounts(head: str, sums: AtRate | Totals, lang: Language) -> tuple[str, ...]:
    return head, *map(lang.written, (sums.net, sums.tax, sums.gross))


def _left(view: BillView, lang: Language) -> list[tuple[str, str]]:
    bill = view.bill
    is_total = bill.owed is None or view.is_final
    balance = [] if bill.owed is None else [_balance(bill, bill.owed, lang, is_final=view.is_final)]
    is_rounded = bool(bill.rounding.amount)
    return [
        (lang.say("total") if is_total else lang.say("expected total"), lang.written(bill.totals.gross)),
        (lang.say("rounding"), lang.written(bill.rounding) if is_rounded else ""),
        (lang.say("to pay"), lang.written(bill.to_pay) if is_rounded else ""),
        *((_credited(note, lang), lang.written(negated(note.to_pay))) for note in bill.notes),
        (lang.say("paid"), lang.written(bill.paid) if bill.payments else ""),
        (lang.say("paid back"), lang.written(bill.refunded) if bill.refunds else ""),
        *balance,
    ]


def _credited(note: Sheet, lang: Language) -> str:
    day = lang.iso_day(note.day)
    if note.number:
        return lang.say("credit note {number} of {day}", number=note.number, day=day)
    return lang.say("credit note to come of {day}", day=day)


def _balance(bill: Bill, owed: Money, lang: Language, *, is_final: bool) -> tuple[str, str]:
    if owed.amount < 0:
        head = lang.say("to give back") if is_final else lang.say("paid above it")
        return head, lang.written(negated(owed))
    head = lang.say("balance due")
    if bill.settled:
        return head, lang.say("nothing, paid on {day}", day=lang.iso_day(bill.settled))
    return head, lang.written(owed) if owed.amount else lang.say("nothing")


def _quantity(quantity: Decimal | Fraction, lang: Language) -> str:
    """Write how many, and bench time in hours; the note below has its minutes."""
    if isinstance(quantity, Fraction):
        # Two decimals even of a whole hour: the figure is rounded.
        return lang.figure(f"{decimal_hours(quantity):f} h")
    return lang.written(quantity)


def decimal_hours(hours: Fraction) -> Decimal:
    """Round hours to the hundredth, halves up.

    >>> decimal_hours(Fraction(316, 60))
    Decimal('5.27')
    """
    return Decimal(int(hours * 100 + Fraction(1, 2))).scaleb(-2)
