"""The quote: what was found, what is proposed, the price, what if the client declines, and how to agree."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from jobkit.jobs.cautions import UNPROVED
from jobkit.jobs.digest import facts_of
from jobkit.jobs.money import Money
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Title
from jobkit.pages.client.bill import lines_table, rates_table
from jobkit.pages.client.bill_words import NO_ADVICE
from jobkit.pages.client.report_parts import kind_of_board, paper_head, photo_list, what_was_found
from jobkit.pages.client.sections import NAMES
from jobkit.pages.forms.data import Data, money
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.money.priced import agreement
from jobkit.reckon.money.quote import Quote
from jobkit.units.phrase import phrase


def quote_page(paper: Paper, quote: Quote, lang: Language = ENGLISH) -> Answer:
    """Write the quote of a job."""
    return Answer(list(_blocks(paper, quote, lang)), _data(paper, quote))


def _blocks(paper: Paper, quote: Quote, lang: Language) -> Iterator[Block]:
    job = paper.job
    yield Title(lang.say("Quote for your {board}, job {job}", board=kind_of_board(job, lang), job=job.id), 1)
    yield Pairs([*paper_head(paper, lang), (lang.say("quote of"), lang.written(quote.on))])
    for title, blocks in (
        (phrase("What we found"), what_was_found(paper, lang)),
        (phrase("Photos"), photo_list(job, lang)),
        (phrase("What we propose"), map(Line, proposal(paper, lang))),
        (phrase("Price"), _price(quote, lang)),
        (phrase("If you decline"), map(Line, declined(quote, lang))),
        (phrase("If it comes back without a repair"), [Line(unrepaired(lang))]),
        (phrase("Terms"), map(Line, map(lang.own, paper.bench.settings.papers.quote))),
        _answer(paper, quote, lang),
    ):
        shown = list(blocks)
        if shown:
            yield Title(lang.say(title), name=NAMES.get(title, ""))
            yield from shown
    yield Line(lang.say(NO_ADVICE))


def proposal(paper: Paper, lang: Language = ENGLISH) -> Iterator[str]:
    """Say what is to be done."""
    price = paper.job.price
    if price and price.proposal:
        yield lang.say("We propose to {proposal}.", proposal=lang.own(price.proposal))


def _price(quote: Quote, lang: Language) -> Iterator[Block]:
    yield lines_table(quote.bill.totals, quote.bill.tax, lang)
    yield rates_table(quote.bill.totals, quote.bill.tax, lang)
    yield Pairs([(lang.say("total"), lang.written(quote.bill.to_pay))])
    if quote.bill.tax.note:
        yield Line(lang.own(quote.bill.tax.note))


def with_plus(amount: Money, quote: Quote, lang: Language = ENGLISH) -> str:
    """Write an amount as prices are given, and say where tax comes on top."""
    tax = quote.bill.tax
    if tax.rate and tax.prices == "net":
        return lang.say("{amount} plus {tax}", amount=amount, tax=lang.own(tax.name))
    return lang.written(amount)


def declined(quote: Quote, lang: Language = ENGLISH) -> Iterator[str]:
    """Say what it costs if the client declines, where that is settled."""
    if quote.declined is None:
        return
    if quote.declined.amount:
        amount = with_plus(quote.declined, quote, lang)
        yield lang.say("If you decline, the examination costs {amount}.", amount=amount)
    else:
        yield lang.say("If you decline, there is no charge.")


def unrepaired(lang: Language = ENGLISH) -> str:
    """Say what to heed with a board that comes back without a repair."""
    words = lang.say(
        "If the board comes back to you without a repair, take care (common practice, no source):"
    )
    return f"{words} {lang.text(UNPROVED.client)}"


def _answer(paper: Paper, quote: Quote, lang: Language) -> tuple[str, Iterator[Block]]:
    """Say how to agree, or, once the client has answered, what the answer was."""
    answered = list(_answered(paper, quote, lang))
    if answered or paper.job.dates.finished:
        return phrase("Your answer"), map(Line, answered)
    return phrase("If you agree"), map(Line, agreeing(paper, quote, lang))


def _answered(paper: Paper, quote: Quote, lang: Language) -> Iterator[str]:
    """Say to what the client agreed last, or that the client declined."""
    agreed, declined_on = agreement(facts_of(paper.job)), paper.job.dates.declined
    if declined_on:
        yield lang.say("You declined on {day}.", day=declined_on)
    elif agreed:
        day, amount = agreed
        price = with_plus(amount, quote, lang)
        if day:
            yield lang.say("You agreed to {price} on {day}.", price=price, day=date.fromisoformat(day))
        else:
            yield lang.say("You agreed to {price}.", price=price)


def agreeing(paper: Paper, quote: Quote, lang: Language = ENGLISH) -> Iterator[str]:
    """Say until when the quote holds, and give the sentence with which the client agrees."""
    if quote.holds_until:
        yield lang.say("This quote holds until {day}.", day=quote.holds_until)
    price = with_plus(quote.price, quote, lang)
    if quote.ceiling:
        most = with_plus(quote.ceiling, quote, lang)
        yield lang.say(
            "If the work turns out to take more than we see now, we ask you again before the price goes beyond "
            "{amount}.",
            amount=most,
        )
        price = lang.say("{price}, at most {most}", price=price, most=most)
    yield lang.say(
        'To agree, write to us: "I agree to the quote of {day} for job {job}: {price}."',
        day=quote.on,
        job=paper.job.id,
        price=price,
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
