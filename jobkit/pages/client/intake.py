"""The receipt for a board: what came, in which state, with which parts, on which terms, and when the client hears."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.money import Money
from jobkit.jobs.settings import Tax
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Title
from jobkit.pages.client.bill_words import NO_ADVICE
from jobkit.pages.client.report_parts import kind_of_board, paper_head, photo_list, what_came
from jobkit.pages.client.sections import NAMES
from jobkit.pages.forms.data import Data, money
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.paper import Paper, word_day
from jobkit.units.phrase import phrase


def intake_page(paper: Paper, lang: Language = ENGLISH) -> Answer:
    """Write the receipt of a job."""
    return Answer(list(_blocks(paper, lang)), _data(paper))


def _blocks(paper: Paper, lang: Language) -> Iterator[Block]:
    job = paper.job
    board = kind_of_board(job, lang)
    yield Title(lang.say("Receipt for your {board}, job {job}", board=board, job=job.id), 1)
    yield Pairs(paper_head(paper, lang))
    for title, blocks in (
        (phrase("What came"), (*what_came(job, lang), *_parcel(paper, lang))),
        (phrase("Photos"), photo_list(job, lang)),
        (phrase("What happens next"), map(Line, _next(paper, lang))),
        (phrase("Terms"), map(Line, _terms(paper, lang))),
    ):
        shown = list(blocks)
        if shown:
            yield Title(lang.say(title), name=NAMES.get(title, ""))
            yield from shown


def _parcel(paper: Paper, lang: Language) -> Iterator[Block]:
    job = paper.job
    if job.intake.came_with:
        yield Line(lang.say("With the board came: {things}.", things="; ".join(job.intake.came_with)))
    if job.parcel and job.parcel.came_in:
        yield Line(lang.say("It came with the parcel {parcel}.", parcel=job.parcel.came_in))
    if job.intake.declared:
        yield Line(lang.say("Its declared value is {amount}.", amount=job.intake.declared))
    if job.board.kept_back:
        yield Line(lang.say("We keep separately: {things}.", things="; ".join(job.board.kept_back)))


def _next(paper: Paper, lang: Language) -> Iterator[str]:
    day = word_day(paper)
    if day:
        yield lang.say("You hear from us by {day}.", day=day)
    if paper.job.dates.promised:
        yield lang.say("The board is promised for {day}.", day=paper.job.dates.promised)
    yield lang.say("Please name the job {job} whenever you write to us.", job=paper.job.id)


def _terms(paper: Paper, lang: Language) -> Iterator[str]:
    price, terms = paper.job.price, paper.bench.settings.papers.intake
    tax = paper.bench.settings.tax_on(paper.on.isoformat())
    if price and price.ceiling:
        most = _with_plus(price.ceiling, tax, lang)
        yield lang.say("It does not cost more than {amount} without asking you again.", amount=most)
    if price and price.if_not_repaired:
        amount = _with_plus(price.if_not_repaired, tax, lang)
        yield lang.say("If the board is not repaired, the examination costs {amount}.", amount=amount)
    yield from map(lang.own, terms)
    if price or terms:
        yield lang.say(NO_ADVICE)


def _with_plus(amount: Money, tax: Tax, lang: Language) -> str:
    """Write an amount as prices are given, and in brackets where tax comes on top."""
    if tax.rate and tax.prices == "net":
        return lang.say("{amount} (plus {tax})", amount=amount, tax=lang.own(tax.name))
    return lang.written(amount)


def _data(paper: Paper) -> Data:
    job, day = paper.job, word_day(paper)
    price = job.price
    return {
        "job": job.id,
        "on": str(paper.on),
        "bench": paper.bench.settings.name,
        "client": job.client,
        "name": paper.client.name if paper.client else None,
        "board": {"kind": job.board.kind, "design": job.board.design, "serial": job.board.serial},
        "received": str(job.dates.received) if job.dates.received else None,
        "complaint": job.intake.complaint,
        "condition": list(job.intake.condition),
        "came_with": list(job.intake.came_with),
        "word_by": str(day) if day else None,
        "promised": str(job.dates.promised) if job.dates.promised else None,
        "ceiling": money(price.ceiling) if price else None,
        "if_not_repaired": money(price.if_not_repaired) if price else None,
        "terms": list(paper.bench.settings.papers.intake),
    }
