"""Whether a board is covered, by which promise, and what comebacks do to it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.asof import known_on
from jobkit.jobs.duration import Duration, parse_duration
from jobkit.jobs.facts import Facts
from jobkit.jobs.settings import WarrantyHabit
from jobkit.reckon.warranty.cover import Cover, comebacks, cover, may_be_covered
from tests.reckon.made import made, repaired

HABIT = WarrantyHabit(parse_duration("P6M"))
RESTARTS = HABIT._replace(comeback="restarts")


def ask(job: str, on: str, facts: Iterable[Facts], habit: WarrantyHabit = HABIT) -> Cover:
    day = date.fromisoformat(on)
    known = known_on(facts, day)
    found = cover(job, known, (habit,), day)
    assert not found.covered or may_be_covered(known[job], known, (habit,), day)
    return found


# As the README says: 2026-10-26 + P6M = 2027-04-26. Then as dateutil.relativedelta: months clamp to the month's end,
# February 29 on both sides. The rest by hand.
LAST_DAYS = [
    ("2026-10-26", "P6M", "2027-04-26"),
    ("2024-01-31", "P1M", "2024-02-29"),
    ("2023-01-31", "P1M", "2023-02-28"),
    ("2024-02-29", "P12M", "2025-02-28"),
    ("2024-02-29", "P1Y", "2025-02-28"),
    ("2024-02-29", "P4Y", "2028-02-29"),
    ("2023-08-31", "P6M", "2024-02-29"),
    ("2026-12-31", "P1D", "2027-01-01"),
    ("2026-10-26", "P2W", "2026-11-09"),
    ("2026-01-31", "P2M", "2026-03-31"),
]


@pytest.mark.parametrize(("sent", "duration", "last"), LAST_DAYS)
def test_what_is_long_over_is_passed_by_unless_a_comeback_may_carry_it_on(
    sent: str, duration: str, last: str
) -> None:
    """A month is never taken for longer than 31 days: that it is over is certain within 3 days a month."""
    months = parse_duration(duration).months
    day = date.fromisoformat(last) + timedelta(days=3 * months + 1)
    over = repaired("K26-0001", sent, warranty_duration=duration)
    back = made("K26-0002", comeback_of="K26-0001")
    again = repaired("K26-0002", str(day), warranty_duration=duration, comeback_of="K26-0001")
    for later, expected in ((back, False), (again, True)):
        known = known_on([over, later], day)
        assert not may_be_covered(over, known, (HABIT,), day)
        assert may_be_covered(later, known, (HABIT,), day) is expected


@pytest.mark.parametrize(("sent", "duration", "last"), LAST_DAYS)
def test_the_last_day_is_start_and_duration_and_still_covered(sent: str, duration: str, last: str) -> None:
    jobs = [repaired("K26-0001", sent, warranty_duration=duration)]
    on_last = ask("K26-0001", last, jobs)
    after = ask("K26-0001", str(date.fromisoformat(last) + timedelta(days=1)), jobs)
    assert (str(on_last.first_day), str(on_last.last_day)) == (sent, last)
    assert (on_last.state, on_last.covered, on_last.days_left) == ("covered", True, 0)
    assert (after.state, after.covered, after.days_left) == ("ended", False, -1)


@given(
    st.dates(date(1990, 1, 1), date(2100, 1, 1)),
    st.integers(0, 60),
    st.integers(0, 400),
    st.integers(0, 2000),
)
def test_days_agree_with_dateutil(start: date, months: int, days: int, later: int) -> None:
    """The oracle is dateutil.relativedelta, which counts months first and clamps them too."""
    duration = Duration(months, days)
    on = start + timedelta(days=later)
    found = ask("K26-0001", str(on), [repaired("K26-0001", str(start), warranty_duration=str(duration))])
    last = start + relativedelta(months=months, days=days)
    if duration == Duration():
        assert (found.state, found.last_day) == ("none", None)
    else:
        assert found.last_day == last
        assert found.covered == (on <= last)


@pytest.mark.parametrize(
    ("counted_from", "first"),
    [("sent", "2026-10-05"), ("collected", "2026-10-09"), ("finished", "2026-10-01")],
)
def test_it_is_counted_from_the_day_the_job_or_the_bench_says(counted_from: str, first: str) -> None:
    job = repaired("K26-0001", "2026-10-05", finished="2026-10-01", collected="2026-10-09")
    own = ask("K26-0001", "2026-11-01", [job._replace(warranty_from=counted_from)])
    habit = ask("K26-0001", "2026-11-01", [job], HABIT._replace(counted_from=counted_from))
    assert str(own.first_day) == str(habit.first_day) == first


NO_COVER = {
    "not here yet": (repaired("K26-0001", "2027-01-01"), HABIT, "not here", ""),
    "not sent yet": (made("K26-0001", received="2026-10-01"), HABIT, "not begun", ""),
    "counted from a day that is missing": (
        repaired("K26-0001", "2026-10-01", warranty_from="collected"),
        HABIT,
        "not begun",
        "",
    ),
    "no dates at all": (
        made("K26-0001", outcome="repaired", warranty_duration="P6M"),
        HABIT,
        "not begun",
        "",
    ),
    "none given": (repaired("K26-0001", "2026-10-01", warranty_duration="P0D"), HABIT, "none", "time"),
    "nothing repaired": (
        repaired("K26-0001", "2026-10-01", outcome="no-fault-found"),
        HABIT,
        "none",
        "repair",
    ),
    "no habit": (repaired("K26-0001", "2026-10-01"), WarrantyHabit(), "none", "habit"),
    "void": (repaired("K26-0001", "2026-10-01", warranty_void="got wet"), HABIT, "void", ""),
}


@pytest.mark.parametrize(("job", "habit", "state", "lacks"), NO_COVER.values(), ids=NO_COVER)
def test_what_is_not_covered_says_why(job: Facts, habit: WarrantyHabit, state: str, lacks: str) -> None:
    found = ask("K26-0001", "2026-11-20", [job], habit)
    assert (found.state, found.covered, found.lacks) == (state, False, lacks)


def test_a_job_without_repair_is_covered_where_its_own_file_says_so() -> None:
    job = repaired("K26-0001", "2026-10-01", outcome="no-fault-found", warranty_scope="the new paste")
    assert ask("K26-0001", "2026-11-01", [job]).covered


def test_a_void_is_not_known_before_it_was_found() -> None:
    job = repaired("K26-0001", "2026-10-01", warranty_void="got wet", warranty_void_on="2026-11-10")
    assert [ask("K26-0001", on, [job]).state for on in ("2026-11-09", "2026-11-10")] == ["covered", "void"]
    assert str(ask("K26-0001", "2026-11-20", [job]).end) == "2026-11-10"


def test_a_warranty_longer_than_the_calendar_never_ends() -> None:
    found = ask("K26-0001", "2026-11-20", [repaired("K26-0001", "2026-10-01", warranty_duration="P9999Y")])
    assert (found.covered, found.last_day) == (True, date.max)


def back(of: str, received: str, sent: str = "", **fields: object) -> Facts:
    """Make the second job of a board that came back on a day, repaired and sent again if it was."""
    ended = {"outcome": "repaired", "finished": sent, "sent": sent} if sent else {}
    return made("K26-0002", received=received, comeback_of=of, **{**ended, **fields})


FIRST = repaired("K26-0001", "2026-01-10")
"""Covered until 2026-07-10."""

LINKS = {
    "continues": (back("K26-0001", "2026-03-01", "2026-03-10"), HABIT, "continues", "2026-07-10"),
    "continues while on the bench": (back("K26-0001", "2026-03-01"), HABIT, "continues", "2026-07-10"),
    "continues from the last day": (
        back("K26-0001", "2026-07-10", "2026-07-20"),
        HABIT,
        "continues",
        "2026-07-10",
    ),
    "what is written in the job wins": (
        back("K26-0001", "2026-03-01", "2026-03-10", warranty_duration="P1Y", comeback_found="our-work"),
        HABIT,
        "own terms",
        "2027-03-10",
    ),
    "a first day of its own wins": (
        back("K26-0001", "2026-03-01", "2026-03-10", warranty_from="finished"),
        HABIT,
        "own terms",
        "2026-09-10",
    ),
    "a scope alone continues": (
        back("K26-0001", "2026-03-01", "2026-03-10", warranty_scope="U5"),
        HABIT,
        "continues",
        "2026-07-10",
    ),
    "continues though nothing showed": (
        back("K26-0001", "2026-03-01", "2026-03-10", outcome="no-fault-found", comeback_found="not-shown"),
        RESTARTS,
        "continues",
        "2026-07-10",
    ),
    "restarts": (back("K26-0001", "2026-03-01", "2026-03-10"), RESTARTS, "restarts", "2026-09-10"),
    "restarts later": (back("K26-0001", "2026-03-01"), RESTARTS, "restarts later", "2026-07-10"),
    "its own terms win over a restart": (
        back("K26-0001", "2026-03-01", "2026-03-10", warranty_duration="P1M"),
        RESTARTS,
        "own terms",
        "2026-04-10",
    ),
    "a new fault": (
        back("K26-0001", "2026-03-01", "2026-03-10", comeback_found="new-fault"),
        HABIT,
        "new-fault",
        "2026-09-10",
    ),
    "misuse": (
        back("K26-0001", "2026-03-01", "2026-03-10", comeback_found="misuse", warranty_duration="P1M"),
        HABIT,
        "misuse",
        "2026-04-10",
    ),
    "too late": (back("K26-0001", "2026-07-11", "2026-07-20"), HABIT, "ended before", "2027-01-20"),
    "before the first was sent": (
        back("K26-0001", "2026-01-09", "2026-03-10"),
        HABIT,
        "not sent before",
        "2026-09-10",
    ),
    "of a job that is not there": (back("K26-0099", "2026-03-01", "2026-03-10"), HABIT, "", "2026-09-10"),
}


@pytest.mark.parametrize(("second", "habit", "link", "last"), LINKS.values(), ids=LINKS)
def test_what_a_comeback_does_to_the_warranty(
    second: Facts, habit: WarrantyHabit, link: str, last: str
) -> None:
    found = ask("K26-0002", "2026-12-01", [FIRST, second], habit)
    assert (found.link, str(found.last_day)) == (link, last)


def test_a_restart_that_would_end_sooner_leaves_the_first_promise() -> None:
    first = FIRST._replace(warranty_duration="P1Y")
    found = ask("K26-0002", "2026-12-01", [first, back("K26-0001", "2026-03-01", "2026-03-10")], RESTARTS)
    assert (found.link, str(found.last_day)) == ("outlasts", "2027-01-10")


@pytest.mark.parametrize("own", ["P1M", "P0D"])
def test_shorter_terms_of_a_comeback_do_not_take_the_first_promise_away(own: str) -> None:
    second = back("K26-0001", "2026-03-01", "2026-03-10", warranty_duration=own)
    found = ask("K26-0002", "2026-05-01", [FIRST, second])
    assert (found.link, found.still) == ("own terms", ("K26-0001", date(2026, 7, 10)))


def test_a_comeback_of_a_void_warranty_stands_alone() -> None:
    first = FIRST._replace(warranty_void="opened", warranty_void_on="2026-02-01")
    found = ask("K26-0002", "2026-12-01", [first, back("K26-0001", "2026-03-01", "2026-03-10")])
    assert (found.link, found.void) == ("void before", "")


def test_a_comeback_of_a_job_never_sent_or_without_warranty_stands_alone() -> None:
    second = back("K26-0001", "2026-03-01", "2026-03-10")
    unsent = ask("K26-0002", "2026-12-01", [FIRST._replace(sent=""), second])
    bare = ask("K26-0002", "2026-12-01", [FIRST._replace(warranty_duration="P0D"), second])
    late = ask("K26-0002", "2026-12-01", [FIRST._replace(warranty_from="collected"), second])
    assert [unsent.link, bare.link, late.link] == ["not sent before", "nothing before", "not begun before"]


def test_the_earlier_warranty_runs_on_beside_a_new_repair() -> None:
    second = back("K26-0001", "2026-03-01", "2026-03-10", comeback_found="new-fault", warranty_duration="P1M")
    found = ask("K26-0002", "2026-05-01", [FIRST, second])
    assert (found.state, found.still) == ("ended", ("K26-0001", date(2026, 7, 10)))
    assert ask("K26-0002", "2026-07-11", [FIRST, second]).still is None


def test_a_chain_leads_back_to_the_first_job() -> None:
    third = back("K26-0002", "2026-05-01", "2026-05-10")._replace(id="K26-0003")
    jobs = [third, FIRST, back("K26-0001", "2026-03-01", "2026-03-10")]
    found = ask("K26-0003", "2026-06-01", jobs)
    assert found.chain == ("K26-0001", "K26-0002", "K26-0003")
    assert (found.source, str(found.first_day), str(found.last_day)) == (
        "K26-0001",
        "2026-01-10",
        "2026-07-10",
    )
    assert ask("K26-0003", "2026-06-01", jobs, RESTARTS).last_day == date(2026, 11, 10)


@pytest.mark.parametrize(
    "others", [{"K26-0001": "K26-0001"}, {"K26-0001": "K26-0002", "K26-0002": "K26-0001"}]
)
def test_jobs_that_name_each_other_in_a_circle_stand_alone(others: dict[str, str]) -> None:
    jobs = [repaired(job, "2026-01-10", comeback_of=of) for job, of in others.items()]
    found = ask("K26-0001", "2026-02-01", jobs)
    assert (found.broken, found.chain, str(found.last_day)) == ("loop", ("K26-0001",), "2026-07-10")


def test_an_unknown_earlier_job_is_named() -> None:
    found = ask("K26-0002", "2026-12-01", [back("K26-0099", "2026-03-01", "2026-03-10")])
    assert (found.broken, found.chain) == ("K26-0099", ("K26-0002",))


def test_comebacks_are_told_in_order_of_receipt() -> None:
    jobs = [
        made("B", received="2026-03-01", comeback_of="A"),
        made("C", received="2026-02-01", comeback_of="A"),
    ]
    assert {
        job: [one.id for one in later] for job, later in comebacks({one.id: one for one in jobs}).items()
    } == {"A": ["C", "B"]}


@given(st.data())
def test_a_comeback_never_shortens_what_was_promised(data: st.DataObject) -> None:
    """Whatever the habit and the dates: while the first warranty runs, a comeback carried on is covered as well."""
    habit = data.draw(st.sampled_from([HABIT, RESTARTS]))
    received = data.draw(st.dates(date(2026, 1, 10), date(2026, 7, 10)))
    sent = received + timedelta(days=data.draw(st.integers(0, 60)))
    duration = data.draw(st.sampled_from(["", "P1D", "P1M", "P1Y"]))
    found = data.draw(st.sampled_from(["", "same-fault", "our-work", "not-shown"]))
    second = back("K26-0001", str(received), str(sent), warranty_duration=duration, comeback_found=found)
    on = data.draw(st.dates(received, date(2026, 7, 10)))
    covered = ask("K26-0002", str(on), [FIRST, second], habit)
    assert covered.covered or covered.still
