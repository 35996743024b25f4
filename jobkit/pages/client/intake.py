"""The receipt for a board: what came, in which state, with which parts, on which terms, and when the client hears."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.pages.blocks import Answer, Block, Line, Pairs, Title
from jobkit.pages.client.bill_words import NO_ADVICE
from jobkit.pages.client.phrases import long_day
from jobkit.pages.client.report_parts import paper_head, photo_list, what_came
from jobkit.pages.client.sections import NAMES
from jobkit.pages.forms.data import Data, money
from jobkit.reckon.client.paper import Paper, word_day


def intake_page(paper: Paper) -> Answer:
    """Write the receipt of a job."""
    return Answer(list(_blocks(paper)), _data(paper))


def _blocks(paper: Paper) -> Iterator[Block]:
    job = paper.job
    yield Title(f"Receipt for your {job.board.kind or 'board'}, job {job.id}", 1)
    yield Pairs(paper_head(paper))
    for title, blocks in (
        ("What came", (*what_came(job), *_parcel(paper))),
        ("Photos", photo_list(job)),
        ("What happens next", map(Line, _next(paper))),
        ("Terms", map(Line, _terms(paper))),
    ):
        shown = list(blocks)
        if shown:
            yield Title(title, name=NAMES[title])
            yield from shown


def _parcel(paper: Paper) -> Iterator[Block]:
    job = paper.job
    if job.intake.came_with:
        yield Line(f"With the board came: {'; '.join(job.intake.came_with)}.")
    if job.parcel and job.parcel.came_in:
        yield Line(f"It came with the parcel {job.parcel.came_in}.")
    if job.intake.declared:
        yield Line(f"Its declared value is {job.intake.declared}.")
    if job.board.kept_back:
        yield Line(f"We keep separately: {'; '.join(job.board.kept_back)}.")


def _next(paper: Paper) -> Iterator[str]:
    day = word_day(paper)
    if day:
        yield f"You hear from us by {long_day(day)}."
    if paper.job.dates.promised:
        yield f"The board is promised for {long_day(paper.job.dates.promised)}."
    yield f"Please name the job {paper.job.id} whenever you write to us."


def _terms(paper: Paper) -> Iterator[str]:
    price, tax = paper.job.price, paper.bench.settings.tax_on(paper.on.isoformat())
    plus = f" (plus {tax.name})" if tax.rate and tax.prices == "net" else ""
    if price and price.ceiling:
        yield f"It does not cost more than {price.ceiling}{plus} without asking you again."
    if price and price.if_not_repaired:
        yield f"If the board is not repaired, the examination costs {price.if_not_repaired}{plus}."
    yield from paper.bench.settings.papers.intake
    if price or paper.bench.settings.papers.intake:
        yield NO_ADVICE


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
