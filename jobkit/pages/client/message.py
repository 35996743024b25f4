"""A message to the client, as plain text to paste into a mail; it is not sent from here."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from jobkit.pages.blocks import Answer, Block, Line
from jobkit.pages.client.bill_words import NO_ADVICE
from jobkit.pages.client.cautions import caution_paragraph
from jobkit.pages.client.phrases import long_day
from jobkit.pages.client.quote import agreeing, declined, proposal, unrepaired
from jobkit.pages.client.report_endings import ending
from jobkit.pages.client.report_terms import paid_too_much, warranty_words
from jobkit.pages.client.warranty import LAW
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.occasion import PAYMENT, QUOTE, READY, RECEIVED, SENT, WARRANTY
from jobkit.reckon.client.paper import Paper, word_day
from jobkit.reckon.money.debts import Debt
from jobkit.reckon.money.quote import Quote


class MessageView(NamedTuple):
    """All that a message says: what it is about, the paper of the job, its quote and what is left to pay."""

    about: str
    paper: Paper
    quote: Quote | None = None
    debt: Debt | None = None


def message_page(view: MessageView) -> Answer:
    """Write a message: its subject, then its text."""
    lines = list(_lines(view))
    job = view.paper.job
    data = {
        "job": job.id,
        "on": str(view.paper.on),
        "client": job.client,
        "about": view.about,
        "subject": _subject(view),
        "text": "\n\n".join(lines),
    }
    blocks: list[Block] = [Line(f"Subject: {_subject(view)}"), *map(Line, lines)]
    return Answer(blocks, data)


def _subject(view: MessageView) -> str:
    job = view.paper.job
    return f"{_SUBJECTS[view.about].format(board=job.board.kind or 'board')}, job {job.id}"


def _lines(view: MessageView) -> Iterator[str]:
    client = view.paper.client
    yield f"Hello {client.name}," if client else "Hello,"
    yield from _TEXTS[view.about](view)
    yield f"Please name the job {view.paper.job.id} whenever you write to us."
    yield view.paper.bench.settings.name


def _received(view: MessageView) -> Iterator[str]:
    paper, job = view.paper, view.paper.job
    if job.dates.received:
        yield f"Your {_board(view)} arrived on {long_day(job.dates.received)}."
    else:
        yield f"We expect your {_board(view)}."
    day = word_day(paper)
    if day:
        yield f"You hear from us by {long_day(day)}."


def _quote(view: MessageView) -> Iterator[str]:
    quote, job = view.quote, view.paper.job
    assert quote is not None
    found = f": {': '.join(filter(None, (job.cause.part, job.cause.fault)))}" if job.cause else ""
    yield f"We have examined your {_board(view)}{found}."
    yield from (block.text for block in proposal(view.paper) if isinstance(block, Line))
    totals, tax = quote.bill.totals, quote.bill.tax
    if tax.rate:
        yield f"The price is {totals.net} plus {totals.tax} {tax.name}, {quote.bill.to_pay} in all."
    else:
        yield f"The price is {quote.bill.to_pay}."
    yield from declined(quote)
    yield unrepaired()
    yield from view.paper.bench.settings.papers.quote
    yield from agreeing(view.paper, quote)
    yield NO_ADVICE


def _ready(view: MessageView) -> Iterator[str]:
    job = view.paper.job
    yield f"Your {_board(view)} is ready. {ending(job)}"
    yield from _due(view)
    kept = job.fate and job.fate.what not in {None, "returned"}
    if not kept:
        yield "Please tell us whether you collect it or we send it."
        yield from _cautions(view)


def _sent(view: MessageView) -> Iterator[str]:
    job = view.paper.job
    number = f" (parcel: {job.parcel.went_out})" if job.parcel and job.parcel.went_out else ""
    day = f" on {long_day(job.dates.sent)}" if job.dates.sent else ""
    yield f"Your {_board(view)} was sent{day}{number}."
    yield from warranty_words(view.paper.cover)
    yield from _cautions(view)
    yield from _due(view)
    yield LAW


def _payment(view: MessageView) -> Iterator[str]:
    debt = view.debt
    assert debt is not None
    invoice = f" of our invoice {debt.job.invoice_number}" if debt.job.invoice_number else ""
    late = "was due" if debt.days_late(view.paper.on) > 0 else "is due"
    yield f"{debt.owed}{invoice} for your {_board(view)} {late} on {long_day(debt.due)}."
    yield from _account(view)
    yield "If you have paid meanwhile, this needs no answer."
    yield NO_ADVICE


def _warranty(view: MessageView) -> Iterator[str]:
    yield f"You asked about the warranty on your {_board(view)}."
    yield from warranty_words(view.paper.cover)
    yield LAW


def _cautions(view: MessageView) -> Iterator[str]:
    is_repaired = view.paper.job.outcome not in NOT_REPAIRED
    yield from caution_paragraph(view.paper.cautions, "Before you fit it:" if is_repaired else "Take care:")


def _due(view: MessageView) -> Iterator[str]:
    debt = view.debt
    if debt:
        invoice = f" (invoice {debt.job.invoice_number})" if debt.job.invoice_number else ""
        yield f"Balance due: {debt.owed}{invoice}, by {long_day(debt.due)}."
        yield from _account(view)
    elif view.paper.sum and view.paper.sum.back:
        yield paid_too_much(view.paper.sum)


def _account(view: MessageView) -> Iterator[str]:
    account = view.paper.bench.settings.account
    if account:
        yield f"Our account: {account}."


def _board(view: MessageView) -> str:
    board = view.paper.job.board
    return f"{board.kind or 'board'}{f' (serial number {board.serial})' if board.serial else ''}"


_TEXTS: dict[str, Callable[[MessageView], Iterator[str]]] = {
    RECEIVED: _received, QUOTE: _quote, READY: _ready, SENT: _sent, PAYMENT: _payment, WARRANTY: _warranty,
}  # fmt: skip

_SUBJECTS = {
    RECEIVED: "Your {board} has arrived",
    QUOTE: "Quote for your {board}",
    READY: "Your {board} is ready",
    SENT: "Your {board} is on its way",
    PAYMENT: "Payment for your {board}",
    WARRANTY: "Warranty on your {board}",
}
"""The subject of each message, before the number of the job."""
