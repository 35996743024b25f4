"""The weeks up to one: each figure is that of the week's own summary, and a young book has fewer weeks."""

from __future__ import annotations

from datetime import date

import pytest

from jobkit.book.read.facts import all_facts
from jobkit.cli.call.rollup import open_at
from jobkit.jobs.bench import Bench
from jobkit.jobs.week import Week, parse_week
from jobkit.reckon.progress.week import week_summary
from tests.books import EXAMPLE

ON = date(2026, 11, 20)


@pytest.fixture(scope="module")
def bench() -> Bench:
    opened = open_at(EXAMPLE, None)
    return opened.bench._replace(facts=tuple(all_facts(opened)))


def test_each_week_has_the_figures_of_its_own_summary(bench: Bench) -> None:
    course = week_summary([bench], parse_week("2026-W43"), ON).course
    assert [str(each.week) for each in course] == [f"2026-W{number}" for number in range(32, 44)]
    for each in course:
        own = week_summary([bench], each.week, ON)
        assert (each.received, each.finished, each.sent) == tuple(
            map(len, (own.received, own.finished, own.sent))
        )
        assert (each.comebacks, each.minutes) == (len(own.comebacks), own.minutes)
        assert each.turnaround == own.turnaround.median


def test_a_young_book_shows_only_the_weeks_since_its_first_board(bench: Bench) -> None:
    first = min(one.received for one in bench.facts if one.received)
    young = bench._replace(facts=tuple(one for one in bench.facts if one.received == first))
    year, number, _ = date.fromisoformat(first).isocalendar()
    assert [each.week for each in week_summary([young], Week(year, number), ON).course] == [
        Week(year, number)
    ]


def test_the_first_weeks_of_the_calendar_have_none_before_them(bench: Bench) -> None:
    assert len(week_summary([bench], Week(1, 1), ON).course) == 1
