"""Numbers of invoices: one series for each letter and year, and what is wrong with a series."""

from __future__ import annotations

from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.facts import Credited, Facts
from jobkit.reckon.money.invoice_number import all_series, next_numbers, numbered, series
from tests.reckon.made import made


def job(number: str = "", day: str = "2026-10-26", path: str = "a", *notes: str) -> Facts:
    """Make a job with an invoice and credit notes."""
    credits_ = tuple(Credited(day, "1.00 EUR", "why", "", note) for note in notes)
    return made("K26-0001")._replace(
        path=path, invoice_number=number, invoice_on=day if number else "", credits=credits_
    )


@pytest.mark.parametrize(
    ("taken", "following"),
    [
        ([], "K26-R-0001"),
        (["K26-R-0001", "K26-R-0003"], "K26-R-0004"),
        (["K25-R-0090", "L26-R-0007"], "K26-R-0001"),
        (["K26-R-9999"], "K26-R-10000"),
    ],
    ids=["the first", "a gap is not filled", "other series do not count", "five digits"],
)
def test_the_next_number(taken: list[str], following: str) -> None:
    assert next(next_numbers(map(job, taken), series("K", 2026))) == following


def test_invoices_and_credit_notes_share_one_series() -> None:
    jobs = [job("K26-R-0001", "2026-10-26", "a", "K26-R-0002")]
    assert [one.number for one in numbered(jobs[0])] == ["K26-R-0001", "K26-R-0002"]
    assert next(next_numbers(jobs, series("K", 2026))) == "K26-R-0003"


def test_twins_get_free_numbers_in_the_order_of_their_days() -> None:
    jobs = [
        job("K26-R-0001", "2026-10-26", "a"),
        job("K26-R-0001", "2026-10-28", "b"),
        job("K26-R-0001", "2026-10-27", "c"),
        job("K26-R-0002", "2026-10-29", "d"),
    ]
    known = all_series(jobs)["K26-R-"]
    first, later, between, last = (next(numbered(one)) for one in jobs)
    assert known.twins(first) == (between, later)
    assert known.twins(last) == ()
    assert known.instead == {between: "K26-R-0003", later: "K26-R-0004"}


def test_a_series_may_begin_anywhere_and_has_no_gaps_from_there() -> None:
    jobs = [job("K26-R-0057"), job("K26-R-0059")]
    known = all_series(jobs)["K26-R-"]
    assert [known.gap_before(next(numbered(one))) for one in jobs] == [False, True]
    assert known.missing_before(next(numbered(jobs[1]))) == range(58, 59)


def test_a_gap_begins_behind_the_last_paper_before_it() -> None:
    jobs = [job("K26-R-0003"), job("K26-R-0011"), job("K26-R-0015"), job("K26-R-0020")]
    known = all_series(jobs)["K26-R-"]
    assert known.missing_before(next(numbered(jobs[2]))) == range(12, 15)


@given(st.lists(st.integers(1, 30), max_size=12))
def test_numbers_given_one_after_the_other_leave_neither_gaps_nor_twins(taken: list[int]) -> None:
    first = [job(f"K26-R-{number:04d}", path=str(place)) for place, number in enumerate(sorted(set(taken)))]
    new = [job(number, path=f"n{number}") for number in islice(next_numbers(first, "K26-R-"), 5)]
    known = all_series([*first, *new])["K26-R-"]
    assert not known.instead
    assert not any(known.gap_before(next(numbered(one))) for one in (new if first else new[1:]))
