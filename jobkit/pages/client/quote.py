"""The quote: what was found, what is proposed, the price, what if the client declines, and how to agree."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from jobkit.jobs.digest import facts_of
from jobkit.jobs.money import Money
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Title
from jobkit.pages.client.bill import lines_table, rates_table
from jobkit.pages.client.bill_words import NO_ADVICE
from jobkit.pages.client.phrases import long_day
from jobkit.pages.client.report_parts import paper_head, photo_list, what_was_found
from jobkit.pages.client.sections import NAMES
from jobkit.pages.forms.data import Data, money
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.money.priced import agreement
from jobkit.reckon.money.quote import Quote


def quote_page(paper: Paper, quote: Quote) -> Answer:
    """Write the quote of a job."""
    return Answer(list(_blocks(paper, quote)), _data(paper, quote))


def _blocks(paper: Paper, quote: Quote) -> Iterator[Block]:
    job = paper.job
    yield Title(f"Quote for your {job.board.kind or 'board'}, job {job.id}", 1)
    yield Pairs([*paper_head(paper), ("quote of", long_day(quote.on))])
    for title, blocks in (
        ("What we found", what_was_found(paper)),
        ("Photos", photo_list(job)),
        ("What we propose", proposal(paper)),
        ("Price", _price(quote)),
        ("If you decline", map(Line, declined(quote))),
        ("Terms", map(Line, paper.bench.settings.papers.quote)),
        _answer(paper, quote),
    ):
        shown = list(blocks)
        if shown:
            yield Title(title, name=NAMES[title])
            yield from shown
    yield Line(NO_ADVICE)


def proposal(paper: Paper) -> Iterator[Block]:
    """Say what is to be done."""
    price = paper.job.price
    if price and price.proposal:
        yield Line(f"We propose to {price.proposal}.")


def _price(quote: Quote) -> Iterator[Block]:
    yield lines_table(quote.bill.totals, quote.bill.tax)
    yield rates_table(quote.bill.totals, quote.bill.tax)
    yield Pairs([("total", str(quote.bill.to_pay))])
    if quote.bill.tax.note:
        yield Line(quote.bill.tax.note)


def with_plus(amount: Money, quote: Quote) -> str:
    """Write an amount as prices are given, and say where tax comes on top."""
    tax = quote.bill.tax
    return f"{amount} plus {tax.name}" if tax.rate and tax.prices == "net" else str(amount)


def declined(quote: Quote) -> Iterator[str]:
    """Say what it costs if the client declines, where that is settled."""
    if quote.declined is None:
        return
    if quote.declined.amount:
        yield f"If you decline, the examination costs {with_plus(quote.declined, quote)}."
    else:
        yield "If you decline, there is no charge."


def _answer(paper: Paper, quote: Quote) -> tuple[str, Iterator[Block]]:
    """Say how to agree, or, once the client has answered, what the answer was."""
    answered = list(_answered(paper, quote))
    if answered or paper.job.dates.finished:
        return "Your answer", map(Line, answered)
    return "If you agree", map(Line, agreeing(paper, quote))


def _answered(paper: Paper, quote: Quote) -> Iterator[str]:
    """Say to what the client agreed last, or that the client declined."""
    agreed, declined_on = agreement(facts_of(paper.job)), paper.job.dates.declined
    if declined_on:
        yield f"You declined on {long_day(declined_on)}."
    elif agreed:
        day, amount = agreed
        on = f" on {long_day(date.fromisoformat(day))}" if day else ""
        yield f"You agreed to {with_plus(amount, quote)}{on}."


def agreeing(paper: Paper, quote: Quote) -> Iterator[str]:
    """Say until when the quote holds, and give the sentence with which the client agrees."""
    if quote.holds_until:
        yield f"This quote holds until {long_day(quote.holds_until)}."
    if quote.ceiling:
        yield (
            "If the work turns out to take more than we see now, we ask you again before the price goes beyond "
            f"{with_plus(quote.ceiling, quote)}."
        )
    most = f", at most {with_plus(quote.ceiling, quote)}" if quote.ceiling else ""
    yield (
        f'To agree, write to us: "I agree to the quote of {long_day(quote.on)} for job {paper.job.id}: '
        f'{with_plus(quote.price, quote)}{most}."'
    )


def _data(paper: Paper, quote: Quote) -> Data:
    job, sums = paper.job, quote.bill.totals
    return {
        "job": job.id,
        "on": str(quote.on),
        "bench": paper.bench.settings.name,
        "client": job.client,
        "name": paper.client.name if paper.client else None,
        "board": {"kind": job.board.kind, "design": job.board.design, "serial": job.board.serial},
        "proposal": job.price.proposal if job.price else None,
        "net": money(sums.net),
        "tax": money(sums.tax),
        "gross": money(sums.gross),
        "to_pay": money(quote.bill.to_pay),
        "ceiling": money(quote.ceiling),
        "if_declined": money(quote.declined),
        "holds_until": str(quote.holds_until) if quote.holds_until else None,
        "terms": list(paper.bench.settings.papers.quote),
    }
