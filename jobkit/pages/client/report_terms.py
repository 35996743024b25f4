"""The part of the client's paper that binds: price and warranty."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.pages.blocks import Block, Line
from jobkit.pages.client.phrases import long_day
from jobkit.pages.client.warranty import COUNTED, LAW
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.paper import Paper, Sum
from jobkit.reckon.warranty.cover import COVERED, ENDED, NOT_BEGUN, VOID, Cover


def price(paper: Paper) -> Iterator[Block]:
    """Say what was agreed, the total, and the balance due."""
    terms, outcome = paper.job.price, paper.job.outcome
    if terms and paper.agreed and outcome not in NOT_REPAIRED:
        most = f", and not more than {terms.ceiling} without asking" if terms.ceiling else ""
        net = f" ({_plus_tax(paper.sum)})" if paper.sum else ""
        yield Line(f"You agreed to {paper.agreed}{most}{net}.")
    elif terms and terms.quoted and outcome is None:
        yield Line(f"Our quote: {terms.quoted}. It is not final until you agree to it.")
    if paper.sum and outcome:
        yield Line(_comes_to(paper.sum, paper))
        yield from map(Line, _taken_off(paper.sum))
        yield Line(_balance(paper.sum))


def paid_too_much(sum_: Sum) -> str:
    """Say what the client gets back."""
    return f"You paid {sum_.back} too much. We will pay it back."


def _balance(sum_: Sum) -> str:
    if sum_.back:
        return paid_too_much(sum_)
    return f"Balance due: {sum_.open}." if sum_.open else "Nothing is due."


def _plus_tax(sum_: Sum) -> str:
    """Say whether tax comes on top of what was agreed."""
    return f"plus {sum_.tax.name}" if sum_.tax.rate and sum_.tax.prices == "net" else "with tax"


def _comes_to(sum_: Sum, paper: Paper) -> str:
    if not sum_.total.amount:
        return "There is no charge."
    begin = "The board is not repaired. The charge" if paper.job.outcome in NOT_REPAIRED else "The total"
    with_tax = f", {sum_.tax.name} included" if sum_.tax.rate else ""
    rounded = f", rounded to {sum_.to_pay}" if sum_.to_pay != sum_.total else ""
    return f"{begin} is {sum_.total}{with_tax}{rounded}; the bill has the details."


def _taken_off(sum_: Sum) -> Iterator[str]:
    if sum_.credited.amount:
        yield f"Credit notes after the invoice take off {sum_.credited}."


def warranty(paper: Paper) -> Iterator[Block]:
    """Say whether and until when there is a warranty, on what, and what ends it early."""
    if paper.job.dates.finished is None and paper.cover.state not in {COVERED, VOID}:
        return
    yield from map(Line, warranty_words(paper.cover))
    yield Line(LAW)


def warranty_words(cover: Cover) -> Iterator[str]:
    """Say whether and until when there is a warranty, in words for the client."""
    void_if = cover.terms.void_if
    what = f" on {cover.scope}" if cover.scope else ""
    duration = cover.duration.words() if cover.duration else ""
    since = f" since {long_day(cover.void_on)}" if cover.void_on else ""
    first = f" ({long_day(cover.first_day)})" if cover.first_day else ""
    last = long_day(cover.last_day) if cover.last_day else ""
    as_job = f", when it was with us as job {cover.source}" if cover.source != cover.job else ""
    counted_from = f"the day {COUNTED[cover.counted_from]}{first}{as_job}"
    if cover.state == COVERED:
        yield f"You have a warranty{what} for {duration} from {counted_from}. The last covered day is {last}."
    elif cover.state == ENDED:
        yield f"The warranty{what}, for {duration} from {counted_from}, ended on {last}."
    elif cover.state == VOID:
        yield f"The warranty is void{since}: {cover.void}."
    elif cover.state == NOT_BEGUN:
        yield f"You have a warranty{what} for {duration}, counted from the day {_TO_COME[cover.counted_from]}."
    else:
        yield (
            "There is no warranty on this job, because the board was not repaired."
            if cover.lacks == "repair"
            else ("There is no warranty on this job.")
        )
    if cover.still:
        yield f"The warranty on the earlier job {cover.still[0]} continues until {long_day(cover.still[1])}."
    if cover.state in {COVERED, NOT_BEGUN}:
        yield from (f"It ends early in case of: {'; '.join(void_if)}.",) if void_if else ()
        yield f"If the board fails, contact us with the number {cover.job} before you open it."


_TO_COME = {"sent": "it is sent", "collected": "you collect it", "finished": "it is finished"}
