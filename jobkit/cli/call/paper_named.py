"""The paper for the client that is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from jobkit.jobs.digest import facts_of
from jobkit.jobs.naming import named
from jobkit.pages.blocks import Answer
from jobkit.pages.client.intake import intake_page
from jobkit.pages.client.message import MessageView, message_page
from jobkit.pages.client.quote import quote_page
from jobkit.pages.client.report import report_page
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.occasion import OCCASIONS, QUOTE, check_occasion, occasion
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.money.debts import debt
from jobkit.reckon.money.quote import quote
from jobkit.units.errors import MisuseError


def paper_named(kind: str, paper: Paper, about: str | None = None, lang: Language = ENGLISH) -> Answer:
    """Write a paper by its name in a language.

    Raises MisuseError for a paper that there is not, or for which the job is not so far.
    """
    kind = named(kind, (*_PAPERS, _MESSAGE), "paper")
    if about is not None and kind != _MESSAGE:
        raise MisuseError("--about is for messages", "add --for message")
    return _message(paper, about, lang) if kind == _MESSAGE else _PAPERS[kind](paper, lang)


def _quote(paper: Paper, lang: Language) -> Answer:
    return quote_page(paper, quote(facts_of(paper.job), paper.bench, paper.on), lang)


def _message(paper: Paper, about: str | None, lang: Language) -> Answer:
    facts = facts_of(paper.job)
    step = named(about, OCCASIONS, "step") if about else occasion(paper.job, facts, paper.bench, paper.on)
    check_occasion(step, facts, paper.bench)
    made = quote(facts, paper.bench, paper.on) if step == QUOTE else None
    return message_page(MessageView(step, paper, made, debt(facts, paper.bench)), lang)


_MESSAGE = "message"
_PAPERS: Mapping[str, Callable[[Paper, Language], Answer]] = {
    "report": report_page,
    "intake": intake_page,
    "quote": _quote,
}
