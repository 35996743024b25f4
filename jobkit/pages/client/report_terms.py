"""The part of the client's paper that binds: price and warranty."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.money import Money
from jobkit.pages.blocks import Block, Line
from jobkit.pages.client.warranty import LAW, START, scope_words
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.paper import Paper, Sum
from jobkit.reckon.warranty.cover import COVERED, ENDED, NOT_BEGUN, VOID, Cover
from jobkit.units.phrase import phrase


def price(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Say what was agreed, the total, and the balance due."""
    terms, outcome = paper.job.price, paper.job.outcome
    if terms and paper.agreed and outcome not in NOT_REPAIRED:
        yield Line(_agreed(paper.agreed, terms.ceiling, paper.sum, lang))
    elif terms and terms.quoted and outcome is None:
        yield Line(lang.say("Our quote: {price}. It is not final until you agree to it.", price=terms.quoted))
    if paper.sum and outcome:
        yield Line(_comes_to(paper.sum, paper, lang))
        yield from map(Line, _taken_off(paper.sum, lang))
        yield Line(_balance(paper.sum, lang))


def paid_too_much(sum_: Sum, lang: Language = ENGLISH) -> str:
    """Say what the client gets back."""
    return lang.say("You paid {amount} too much. We will pay it back.", amount=sum_.back)


def _balance(sum_: Sum, lang: Language) -> str:
    if sum_.back:
        return paid_too_much(sum_, lang)
    return lang.say("Balance due: {amount}.", amount=sum_.open) if sum_.open else lang.say("Nothing is due.")


def _agreed(amount: Money, most: Money | None, sum_: Sum | None, lang: Language) -> str:
    """Say to what the client agreed, and whether tax comes on top."""
    words = (
        lang.say("{amount}, and not more than {most} without asking", amount=amount, most=most)
        if most
        else lang.written(amount)
    )
    if sum_ is None or not sum_.tax.rate:
        return lang.say("You agreed to {price}.", price=words)
    if sum_.tax.prices == "net":
        return lang.say("You agreed to {price} (plus {tax}).", price=words, tax=lang.own(sum_.tax.name))
    return lang.say("You agreed to {price} (with tax).", price=words)


def _comes_to(sum_: Sum, paper: Paper, lang: Language) -> str:
    if not sum_.total.amount:
        return lang.say("There is no charge.")
    amount = lang.written(sum_.total)
    if sum_.tax.rate:
        amount = lang.say("{amount}, {tax} included", amount=amount, tax=lang.own(sum_.tax.name))
    if sum_.to_pay != sum_.total:
        amount = lang.say("{amount}, rounded to {to_pay}", amount=amount, to_pay=sum_.to_pay)
    return lang.say(_CHARGE if paper.job.outcome in NOT_REPAIRED else _TOTAL, amount=amount)


_TOTAL = phrase("The total is {amount}; the bill has the details.")
_CHARGE = phrase("The board is not repaired. The charge is {amount}; the bill has the details.")


def _taken_off(sum_: Sum, lang: Language) -> Iterator[str]:
    if sum_.credited.amount:
        yield lang.say("Credit notes after the invoice take off {amount}.", amount=sum_.credited)


def warranty(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Say whether and until when there is a warranty, on what, and what ends it early."""
    if paper.job.dates.finished is None and paper.cover.state not in {COVERED, VOID}:
        return
    yield from map(Line, warranty_words(paper.cover, lang))
    yield Line(lang.say(LAW))


def warranty_words(cover: Cover, lang: Language = ENGLISH) -> Iterator[str]:
    """Say whether and until when there is a warranty, in words for the client."""
    yield _warranty(cover, lang)
    if cover.still:
        job, until = cover.still
        yield lang.say("The warranty on the earlier job {job} continues until {day}.", job=job, day=until)
    if cover.state in {COVERED, NOT_BEGUN}:
        cases = "; ".join(map(lang.own, cover.terms.void_if))
        yield from (lang.say("It ends early in case of: {cases}.", cases=cases),) if cases else ()
        yield lang.say(
            "If the board fails, contact us with the number {job} before you open it.", job=cover.job
        )


def _warranty(cover: Cover, lang: Language) -> str:
    """Say what state the warranty is in."""
    if cover.state == VOID:
        words = _VOID_SINCE if cover.void_on else _VOID
        return lang.say(words, reason=lang.own(cover.void), day=cover.void_on)
    sentences = _SENTENCES.get(cover.state)
    if sentences is None:
        return lang.say(_NOT_REPAIRED if cover.lacks == "repair" else _NONE)
    return lang.say(
        sentences[bool(cover.scope)],
        scope=scope_words(cover, lang),
        duration=cover.duration,
        start=_start(cover, lang),
        day=cover.last_day,
    )


def _start(cover: Cover, lang: Language) -> str:
    """Say from which day a warranty is counted."""
    if cover.state == NOT_BEGUN:
        return lang.say(_TO_COME[cover.counted_from])
    start = lang.say(START[cover.counted_from])
    if cover.first_day:
        start = lang.say("{start} ({day})", start=start, day=cover.first_day)
    if cover.source != cover.job:
        return lang.say("{start}, when it was with us as job {job}", start=start, job=cover.source)
    return start


_SENTENCES = {
    COVERED: (
        phrase("You have a warranty for {duration} from {start}. The last covered day is {day}."),
        phrase("You have a warranty on {scope} for {duration} from {start}. The last covered day is {day}."),
    ),
    ENDED: (
        phrase("The warranty, for {duration} from {start}, ended on {day}."),
        phrase("The warranty on {scope}, for {duration} from {start}, ended on {day}."),
    ),
    NOT_BEGUN: (
        phrase("You have a warranty for {duration}, counted from {start}."),
        phrase("You have a warranty on {scope} for {duration}, counted from {start}."),
    ),
}
"""What is said of a warranty in each state, without and with what it is on."""
_VOID, _VOID_SINCE = (
    phrase("The warranty is void: {reason}."),
    phrase("The warranty is void since {day}: {reason}."),
)
_NONE = phrase("There is no warranty on this job.")
_NOT_REPAIRED = phrase("There is no warranty on this job, because the board was not repaired.")

_TO_COME = {
    "sent": phrase("the day it is sent"),
    "collected": phrase("the day you collect it"),
    "finished": phrase("the day it is finished"),
}
