"""A warranty in words: for the bench, and for the client."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import Duration
from jobkit.jobs.job import Dates, Job
from jobkit.jobs.settings import WarrantyHabit
from jobkit.pages.blocks import Line
from jobkit.pages.client.report_terms import warranty
from jobkit.pages.client.warranty import LAW, rule, scope_words, warranty_page
from jobkit.pages.language.catalogues import Lacking, language
from jobkit.reckon.client.paper import paper
from jobkit.reckon.warranty.cover import Cover
from tests.reckon.made import made

ON = date(2026, 11, 20)
RUNNING: dict[str, Any] = {
    "chain": ("K26-0001",),
    "source": "K26-0001",
    "duration": Duration(months=6),
    "first_day": date(2026, 10, 26),
    "last_day": date(2027, 4, 26),
}


def stands(state: str, **more: Any) -> Cover:
    return Cover("K26-0001", ON, state, **{**RUNNING, **more})


ENDED = {"first_day": date(2026, 5, 19), "last_day": date(2026, 11, 19)}
SCOPES = {
    "": "",
    "D3": "D3",
    "D3 and F2": "D3 und F2",
    "U5, U6 and U7": "U5, U6 und U7",
    "the fan and its cable": "the fan and its cable",
}
SAID = {
    "covered": (
        stands("covered", scope="Q214"),
        "is covered on 2026-11-20: Q214, until 2027-04-26, that day included (157 days left).",
        (
            "You have a warranty on Q214 for 6 months from the day it was sent (26 October 2026). The last covered "
            "day is 26 April 2027."
        ),
    ),
    "last day": (
        stands("covered", last_day=ON),
        "is covered on 2026-11-20: until the end of 2026-11-20: this is its last day.",
        "The last covered day is 20 November 2026.",
    ),
    "last day, one part": (
        stands("covered", last_day=ON, scope="Q214"),
        "is covered on 2026-11-20: Q214, until the end of 2026-11-20: this is its last day.",
        "The last covered day is 20 November 2026.",
    ),
    "ended": (
        stands("ended", **ENDED),
        "is not covered on 2026-11-20: its warranty ended on 2026-11-19, 1 day before.",
        "The warranty, for 6 months from the day it was sent (19 May 2026), ended on 19 November 2026.",
    ),
    "void": (
        stands("void", void="got wet", void_on=date(2026, 11, 1)),
        "its warranty is void since 2026-11-01 (got wet).",
        "The warranty is void since 1 November 2026: got wet.",
    ),
    "void, nobody knows since when": (
        stands("void", void="got wet"),
        "its warranty is void (got wet).",
        "The warranty is void: got wet.",
    ),
    "not begun": (
        stands("not begun", first_day=None, last_day=None, counted_from="collected"),
        "its warranty of 6 months is counted from the day it was collected, and that date is not entered.",
        "You have a warranty for 6 months, counted from the day you collect it.",
    ),
    "nothing repaired": (
        stands("none", duration=None, lacks="repair"),
        "it has no warranty.",
        "There is no warranty on this job, because the board was not repaired.",
    ),
    "none given": (
        stands("none", duration=None, lacks="time"),
        "it has no warranty.",
        "There is no warranty on this job.",
    ),
    "an earlier one runs on": (
        stands("none", duration=None, lacks="repair", still=("K26-0000", date(2027, 1, 31))),
        "The earlier warranty, of K26-0000, continues separately until 2027-01-31.",
        "The warranty on the earlier job K26-0000 continues until 31 January 2027.",
    ),
}


def _client_says(cover: Cover) -> str:
    job = Job("", "K26-0001", outcome="repaired", dates=Dates(finished=date(2026, 10, 1)))
    promised = cover._replace(terms=WarrantyHabit(void_if=("liquid", "opened")))
    return " ".join(
        block.text for block in warranty(paper(job, Bench(), promised, None, ON)) if isinstance(block, Line)
    )


@pytest.mark.parametrize(("cover", "bench", "client"), SAID.values(), ids=SAID)
def test_a_warranty_in_words(cover: Cover, bench: str, client: str) -> None:
    page = " ".join(block.text for block in warranty_page(cover).page if isinstance(block, Line))
    assert bench in page
    assert page.endswith(LAW)
    assert client in _client_says(cover)
    assert ("liquid; opened" in _client_says(cover)) == (cover.state in {"covered", "not begun"})
    assert _client_says(cover).endswith(LAW)


RULES = [
    (
        stands("covered"),
        "6 months from the day it was sent (2026-10-26), last day included, by bench.toml",
    ),
    (
        stands("covered", own_terms=True, link="restarts"),
        (
            "6 months from the day it was sent (2026-10-26), last day included, by the job's own terms; a comeback "
            "restarts the warranty"
        ),
    ),
    (
        stands("covered", source="K26-0000", own_terms=True, link="continues"),
        (
            "6 months from the day it was sent as K26-0000 (2026-10-26), last day included, by that job's own terms; a "
            "comeback continues the warranty before it"
        ),
    ),
    (stands("none", duration=None, lacks="habit"), "neither the job nor bench.toml gives a duration"),
    (stands("not here"), "what is dated later than the day asked about is not known yet"),
]


@pytest.mark.parametrize(("cover", "words"), RULES, ids=[words for _, words in RULES])
def test_the_rule_behind_it(cover: Cover, words: str) -> None:
    assert rule(cover) == words


def test_a_broken_chain_and_later_comebacks_are_told() -> None:
    loop = str(warranty_page(stands("covered", broken="loop")).page)
    lost = warranty_page(stands("covered", broken="K26-0099"), [made("K26-0007", received="2026-11-01")])
    assert "circle" in loop
    assert "K26-0099 is not in this book" in str(lost.page)
    assert "It came back as K26-0007, received 2026-11-01" in str(lost.page)
    assert isinstance(lost.data, dict)
    assert lost.data["came_back_as"] == ["K26-0007"]


def test_a_paper_of_a_job_at_work_says_nothing_of_a_warranty_to_come() -> None:
    bench = Bench()
    at_work = paper(Job("", "K26-0001"), bench, stands("not begun", last_day=None), None, ON)
    assert list(warranty(at_work)) == []


def test_the_parts_under_warranty_are_listed_as_the_language_does() -> None:
    german = language("de", {}, Lacking())
    assert [scope_words(stands("covered", scope=scope), german) for scope in SCOPES] == list(SCOPES.values())
