"""Jobs in rows: what the filters let through."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from jobkit.jobs.facts import WaitRow
from jobkit.reckon.progress.summarise import Filters, Span, cause, summarise
from tests.reckon.made import made

ON = date(2026, 11, 20)
DAY = date(2026, 11, 5)

JOBS = [
    made(
        "B",
        received="2026-11-05",
        client="c-1",
        design="alder-a1",
        cause_part="Q214",
        cause_fault="Stage shorted",
    ),
    made(
        "A",
        received="2026-11-05",
        client="c-2",
        quoted="2026-11-06",
        waits=(WaitRow("client", "2026-11-06", "", ""),),
    ),
    made(
        "C", received="2026-11-01", finished="2026-11-05", sent="2026-11-06", outcome="repaired", client="c-1"
    ),
]

PICKED: dict[str, tuple[dict[str, Any], str]] = {
    "all, in order of receipt": ({}, "C A B"),
    "one status": ({"statuses": ("quoted",)}, "A"),
    "several": ({"statuses": ("quoted", "done")}, "C A"),
    "waiting": ({"waiting": ("client",)}, "A"),
    "outcome": ({"outcomes": ("repaired",)}, "C"),
    "client": ({"clients": ("c-1",)}, "C B"),
    "design": ({"designs": ("alder-a1",)}, "B"),
    "part": ({"causes": ("q21",)}, "B"),
    "fault, in capitals or not": ({"causes": ("STAGE",)}, "B"),
    "all filters at once": ({"clients": ("c-1",), "outcomes": ("repaired",)}, "C"),
    "none passes": ({"clients": ("c-2",), "outcomes": ("repaired",)}, ""),
    "received since, that day included": ({"received": Span(since=DAY)}, "A B"),
    "received until, that day included": ({"received": Span(until=date(2026, 11, 1))}, "C"),
    "finished within": ({"finished": Span(DAY, DAY)}, "C"),
    "sent until a day leaves out what was not sent": ({"sent": Span(until=ON)}, "C"),
}


@pytest.mark.parametrize(("filters", "picked"), PICKED.values(), ids=PICKED)
def test_a_job_is_listed_when_it_passes_every_filter(filters: dict[str, Any], picked: str) -> None:
    assert " ".join(row.facts.id for row in summarise(JOBS, Filters(**filters), ON)) == picked


def test_a_cause_is_part_and_fault_or_what_is_known_of_them() -> None:
    causes = [
        {"cause_part": "Q1", "cause_fault": "short"},
        {"cause_fault": "short"},
        {"cause_part": "Q1"},
        {},
    ]
    assert [cause(made("A", **fields)) for fields in causes] == ["Q1: short", "short", "Q1", ""]
