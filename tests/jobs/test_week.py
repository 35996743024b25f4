from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.week import Week, WeekError, before, first_day, last_day, parse_week, week_of, weeks_in


@pytest.mark.parametrize(
    ("day", "week", "weekday"),
    [
        # ISO 8601:2000, 5.2.3.1 and its examples
        ("2008-12-29", "2009-W01", 1),
        ("2005-01-01", "2004-W53", 6),
        ("2006-12-31", "2006-W52", 7),
        ("2026-12-31", "2026-W53", 4),
        ("1985-04-12", "1985-W15", 5),
    ],
)
def test_days_lie_in_their_week(day: str, week: str, weekday: int) -> None:
    moment = date.fromisoformat(day)
    assert str(week_of(moment)) == week
    assert first_day(parse_week(week)) + timedelta(days=weekday - 1) == moment


@given(st.dates(date(1, 1, 8), date(9999, 12, 26)))
def test_a_week_is_the_seven_days_from_monday_on(day: date) -> None:
    week = week_of(day)
    assert parse_week(str(week)) == week
    assert first_day(week) <= day <= last_day(week) == first_day(week) + timedelta(days=6)
    assert first_day(week).weekday() == 0
    # the definition: the year is that of the Thursday, counted from the first Thursday on
    thursday = first_day(week) + timedelta(days=3)
    assert week == Week(thursday.year, (thursday.timetuple().tm_yday - 1) // 7 + 1)
    assert last_day(before(week)) == first_day(week) - timedelta(days=1)


def test_seventy_one_years_in_four_hundred_are_long() -> None:
    # As date.isocalendar counts: the Gregorian calendar repeats after 400 years
    assert sum(weeks_in(year) == 53 for year in range(2000, 2400)) == 71


def test_going_back_crosses_the_year() -> None:
    assert str(before(parse_week("2027-W01"))) == "2026-W53"
    assert str(before(parse_week("2026-W47"), 8)) == "2026-W39"
    assert before(parse_week("2026-W47"), 0) == parse_week("2026-W47")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2026-W54", "there is no week 2026-W54; 2026 has 53 weeks, from W01 on"),
        ("2025-W53", "there is no week 2025-W53; 2025 has 52 weeks, from W01 on"),
        ("2026-W00", "there is no week 2026-W00; 2026 has 53 weeks, from W01 on"),
        ("0000-W01", "there is no week 0000-W01; the calendar begins with the year 1"),
        ("2026W47", '"2026W47" is not a week; write "2026-W47"'),
        ("2026-47", '"2026-47" is not a week; write "2026-W47"'),
        ("2026-w7", '"2026-w7" is not a week; write "2026-W07"'),
        ("last", '"last" is not a week; write the year, -W and the week\'s two digits, as in "2026-W47"'),
        (
            "2026-11-16",
            '"2026-11-16" is not a week; write the year, -W and the week\'s two digits, as in "2026-W47"',
        ),
    ],
)
def test_what_is_no_week_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(WeekError) as refusal:
        parse_week(text)
    assert str(refusal.value) == words


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        week = parse_week(text)
    except WeekError:
        return
    assert str(week) == text


def test_the_ends_of_the_calendar_are_said_in_words() -> None:
    assert first_day(parse_week("9999-W52")) == date(9999, 12, 27)
    with pytest.raises(WeekError, match="9999-W52 does not end in the year 9999"):
        last_day(parse_week("9999-W52"))
    with pytest.raises(WeekError, match="there is no week 1 before 0001-W01"):
        before(parse_week("0001-W01"))
