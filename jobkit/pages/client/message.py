"""A message to the client, as plain text to paste into a mail; it is not sent from here."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer, Line
from jobkit.pages.client.bill_words import NO_ADVICE
from jobkit.pages.client.cautions import caution_paragraph
from jobkit.pages.client.quote import agreeing, declined, proposal, unrepaired
from jobkit.pages.client.report_endings import ending
from jobkit.pages.client.report_parts import kind_of_board
from jobkit.pages.client.report_terms import paid_too_much, warranty_words
from jobkit.pages.client.warranty import LAW
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.occasion import PAYMENT, QUOTE, READY, RECEIVED, SENT, WARRANTY
from jobkit.reckon.client.paper import Paper, word_day
from jobkit.reckon.money.debts import Debt
from jobkit.reckon.money.quote import Quote
from jobkit.units.phrase import phrase


class MessageView(NamedTuple):
    """All that a message says: what it is about, the paper of the job, its quote and what is left to pay."""

    about: str
    paper: Paper
    quote: Quote | None = None
    debt: Debt | None = None


def message_page(view: MessageView, lang: Language = ENGLISH) -> Answer:
    """Write a message: its subject, then its text; its data are in its language too, as a mail is made of them."""
    lines, subject = list(_lines(view, lang)), _subject(view, lang)
    job = view.paper.job
    data = {
        "job": job.id,
        "on": str(view.paper.on),
        "client": job.client,
        "about": view.about,
        "language": lang.tag,
        "subject": subject,
        "text": "\n\n".join(lines),
    }
    return Answer([Line(lang.say("Subject: {subject}", subject=subject)), *map(Line, lines)], data)


def _subject(view: MessageView, lang: Language) -> str:
    job = view.paper.job
    about = lang.say(_SUBJECTS[view.about], board=kind_of_board(job, lang))
    return lang.say("{subject}, job {job}", subject=about, job=job.id)


def _lines(view: MessageView, lang: Language) -> Iterator[str]:
    client = view.paper.client
    yield lang.say("Hello {name},", name=client.name) if client else lang.say("Hello,")
    yield from _TEXTS[view.about](view, lang)
    yield lang.say("Please name the job {job} whenever you write to us.", job=view.paper.job.id)
    yield view.paper.bench.settings.name


def _received(view: MessageView, lang: Language) -> Iterator[str]:
    received = view.paper.job.dates.received
    if received:
        yield lang.say("Your {board} arrived on {day}.", board=_board(view, lang), day=received)
    else:
        yield lang.say("We expect your {board}.", board=_board(view, lang))
    day = word_day(view.paper)
    if day:
        yield lang.say("You hear from us by {day}.", day=day)


def _quote(view: MessageView, lang: Language) -> Iterator[str]:
    quote, cause = view.quote, view.paper.job.cause
    assert quote is not None
    found = ": ".join(filter(None, (cause.part, cause.fault))) if cause else ""
    yield lang.say(_EXAMINED_FOUND if found else _EXAMINED, board=_board(view, lang), cause=found)
    yield from proposal(view.paper, lang)
    totals, tax = quote.bill.totals, quote.bill.tax
    yield lang.say(
        _PRICE_AND_TAX if tax.rate else _PRICE,
        net=totals.net,
        amount=totals.tax,
        tax=lang.own(tax.name),
        total=quote.bill.to_pay,
    )
    yield from declined(quote, lang)
    yield unrepaired(lang)
    yield from map(lang.own, view.paper.bench.settings.papers.quote)
    yield from agreeing(view.paper, quote, lang)
    yield lang.say(NO_ADVICE)


_EXAMINED = phrase("We have examined your {board}.")
_EXAMINED_FOUND = phrase("We have examined your {board}: {cause}.")
_PRICE = phrase("The price is {total}.")
_PRICE_AND_TAX = phrase("The price is {net} plus {amount} {tax}, {total} in all.")


def _ready(view: MessageView, lang: Language) -> Iterator[str]:
    job = view.paper.job
    yield f"{lang.say('Your {board} is ready.', board=_board(view, lang))} {ending(job, lang)}"
    yield from _due(view, lang)
    kept = job.fate and job.fate.what not in {None, "returned"}
    if not kept:
        yield lang.say("Please tell us whether you collect it or we send it.")
        yield from _cautions(view, lang)


def _sent(view: MessageView, lang: Language) -> Iterator[str]:
    job = view.paper.job
    parcel = job.parcel.went_out if job.parcel else None
    words = _SENT[bool(job.dates.sent), bool(parcel)]
    yield lang.say(words, board=_board(view, lang), day=job.dates.sent, parcel=parcel)
    yield from warranty_words(view.paper.cover, lang)
    yield from _cautions(view, lang)
    yield from _due(view, lang)
    yield lang.say(LAW)


_SENT = {
    (False, False): phrase("Your {board} was sent."),
    (False, True): phrase("Your {board} was sent (parcel: {parcel})."),
    (True, False): phrase("Your {board} was sent on {day}."),
    (True, True): phrase("Your {board} was sent on {day} (parcel: {parcel})."),
}
"""What is said where the day is known, and where the number of the parcel is."""


def _payment(view: MessageView, lang: Language) -> Iterator[str]:
    debt = view.debt
    assert debt is not None
    words = _LATE if debt.days_late(view.paper.on) > 0 else _OWED
    yield lang.say(
        words[bool(debt.job.invoice_number)],
        amount=debt.owed,
        invoice=debt.job.invoice_number,
        board=_board(view, lang),
        day=debt.due,
    )
    yield from _account(view, lang)
    yield lang.say("If you have paid meanwhile, this needs no answer.")
    yield lang.say(NO_ADVICE)


_LATE = (
    phrase("{amount} for your {board} was due on {day}."),
    phrase("{amount} of our invoice {invoice} for your {board} was due on {day}."),
)
_OWED = (
    phrase("{amount} for your {board} is due on {day}."),
    phrase("{amount} of our invoice {invoice} for your {board} is due on {day}."),
)
"""What is owed, without and with the number of an invoice."""


def _warranty(view: MessageView, lang: Language) -> Iterator[str]:
    yield lang.say("You asked about the warranty on your {board}.", board=_board(view, lang))
    yield from warranty_words(view.paper.cover, lang)
    yield lang.say(LAW)


def _cautions(view: MessageView, lang: Language) -> Iterator[str]:
    is_repaired = view.paper.job.outcome not in NOT_REPAIRED
    before = phrase("Before you fit it") if is_repaired else phrase("Take care")
    yield from caution_paragraph(view.paper.cautions, before, lang)


def _due(view: MessageView, lang: Language) -> Iterator[str]:
    debt = view.debt
    if debt:
        words = _BALANCE_OF if debt.job.invoice_number else _BALANCE
        yield lang.say(words, amount=debt.owed, invoice=debt.job.invoice_number, day=debt.due)
        yield from _account(view, lang)
    elif view.paper.sum and view.paper.sum.back:
        yield paid_too_much(view.paper.sum, lang)


_BALANCE = phrase("Balance due: {amount}, by {day}.")
_BALANCE_OF = phrase("Balance due: {amount} (invoice {invoice}), by {day}.")


def _account(view: MessageView, lang: Language) -> Iterator[str]:
    account = view.paper.bench.settings.account
    if account:
        yield lang.say("Our account: {account}.", account=account)


def _board(view: MessageView, lang: Language) -> str:
    job = view.paper.job
    kind = kind_of_board(job, lang)
    if job.board.serial:
        return lang.say("{board} (serial number {serial})", board=kind, serial=job.board.serial)
    return kind


_TEXTS: dict[str, Callable[[MessageView, Language], Iterator[str]]] = {
    RECEIVED: _received, QUOTE: _quote, READY: _ready, SENT: _sent, PAYMENT: _payment, WARRANTY: _warranty,
}  # fmt: skip

_SUBJECTS = {
    RECEIVED: phrase("Your {board} has arrived"),
    QUOTE: phrase("Quote for your {board}"),
    READY: phrase("Your {board} is ready"),
    SENT: phrase("Your {board} is on its way"),
    PAYMENT: phrase("Payment for your {board}"),
    WARRANTY: phrase("Warranty on your {board}"),
}
"""The subject of each message, before the number of the job."""
