from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.duration import (
    Duration,
    DurationError,
    add,
    last_covered,
    parse_duration,
    parse_within,
    subtract,
)

DAYS = st.dates(date(1900, 1, 1), date(2300, 12, 31))
DURATIONS = st.builds(Duration, months=st.integers(0, 600), days=st.integers(0, 2000))


@pytest.mark.parametrize(
    ("text", "duration", "spelled", "words"),
    [
        ("P6M", Duration(6, 0), "P6M", "6 months"),
        ("P1Y", Duration(12, 0), "P1Y", "1 year"),
        ("P1Y6M", Duration(18, 0), "P1Y6M", "1 year and 6 months"),
        ("P12M", Duration(12, 0), "P1Y", "1 year"),
        ("P14D", Duration(0, 14), "P14D", "14 days"),
        ("P1D", Duration(0, 1), "P1D", "1 day"),
        ("P2W", Duration(0, 14), "P14D", "14 days"),
        ("P7W", Duration(0, 49), "P49D", "49 days"),  # RFC 5545, 3.3.6: P7W = 4233600 s
        ("P1Y2M3D", Duration(14, 3), "P1Y2M3D", "1 year, 2 months and 3 days"),
        ("P0D", Duration(0, 0), "P0D", "0 days"),
        ("P06M", Duration(6, 0), "P6M", "6 months"),
    ],
)
def test_durations_are_read_spelled_and_said(text: str, duration: Duration, spelled: str, words: str) -> None:
    assert parse_duration(text) == duration
    assert str(duration) == spelled
    assert duration.words() == words


@given(DURATIONS)
def test_text_goes_round(duration: Duration) -> None:
    assert parse_duration(str(duration)) == duration


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("", "write it as ISO 8601 does"),
        ("P", "write it as ISO 8601 does"),
        ("six months", "write it as ISO 8601 does"),
        ("P1M1Y", "write it as ISO 8601 does"),
        ("P1234567D", "write it as ISO 8601 does"),
        ("p6m", 'write "P6M"'),
        (" P6M", 'write "P6M"'),
        ("6m", 'write "P6M"'),
        ("30d", 'write "P30D"'),
        ("60", 'write "P60D" for days, "P60M" for months'),
        ("P60", 'write "P60D" for days, "P60M" for months'),
        ("P1M2W", "weeks cannot be combined"),
        ("PT5H", "only whole days"),
        ("P15DT5H0M20S", "only whole days"),  # RFC 5545, 3.3.6: valid there, but no length of a warranty
        ("-P1M", "without a sign"),
        ("P-1M", "without a sign"),
        ("P1.5Y", "without a sign"),
        ("P1,5Y", "without a sign"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_way_to_mend_it(text: str, mend: str) -> None:
    with pytest.raises(DurationError) as refusal:
        parse_duration(text)
    assert mend in refusal.value.mend


@given(st.text(alphabet="PYMWDT0123456789.- pd", max_size=12) | st.text(max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (parse_duration, parse_within):
        try:
            duration = read(text)
        except DurationError:
            continue
        assert parse_duration(str(duration)) == duration


@pytest.mark.parametrize(
    ("text", "duration"),
    [
        ("30D", Duration(0, 30)),
        ("p30d", Duration(0, 30)),
        ("30d", Duration(0, 30)),
        ("2w", Duration(0, 14)),
        ("6m", Duration(6, 0)),
        ("1y", Duration(12, 0)),
        ("P30D", Duration(0, 30)),
        ("0d", Duration(0, 0)),
    ],
)
def test_the_short_form_of_the_command_line(text: str, duration: Duration) -> None:
    assert parse_within(text) == duration


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("60", 'write "60d" or "P60D" for days, "60w" for weeks, "60m" for months'),
        ("30 days", 'write "30d"'),
        ("2 Months", 'write "2m"'),
        ("1 y", 'write "1y"'),
        ("P60", 'write "P60D" for days, "P60M" for months'),
        *(
            (text, 'write "30d" or "P30D" for days, "30w" for weeks, "30m" for months')
            for text in ("", "d", "-3d", "3.5d", "1234567d", "six months")
        ),
    ],
)
def test_other_short_forms_are_refused_with_the_way_to_mend_them(text: str, mend: str) -> None:
    with pytest.raises(DurationError) as refusal:
        parse_within(text)
    assert refusal.value.mend == mend


@pytest.mark.parametrize(
    ("start", "duration", "end"),
    [
        # agrees with dateutil.relativedelta
        ("2024-01-31", "P1M", "2024-02-29"),
        ("2023-01-31", "P1M", "2023-02-28"),
        ("2024-02-29", "P12M", "2025-02-28"),
        ("2023-08-31", "P6M", "2024-02-29"),
        # as the README says of warranties
        ("2026-10-26", "P6M", "2027-04-26"),
        # not associative: counted from the start, the last day of January leads to the last of March
        ("2024-01-31", "P2M", "2024-03-31"),
        # months before days
        ("2024-01-31", "P1M1D", "2024-03-01"),
        ("2026-12-31", "P1D", "2027-01-01"),
        ("0001-01-01", "P1M", "0001-02-01"),
        ("9999-12-30", "P1D", "9999-12-31"),
        ("9998-12-31", "P1Y", "9999-12-31"),
    ],
)
def test_dates_move_by_months_first_clamped_to_the_months_end(start: str, duration: str, end: str) -> None:
    first, length = date.fromisoformat(start), parse_duration(duration)
    assert add(first, length) == date.fromisoformat(end)
    assert last_covered(first, length) == date.fromisoformat(end)


def test_adding_months_is_not_associative() -> None:
    month = Duration(months=1)
    january = date(2024, 1, 31)
    assert add(add(january, month), month) == date(2024, 3, 29)
    assert add(january, Duration(months=2)) == date(2024, 3, 31)


@given(DAYS, DURATIONS)
def test_moving_agrees_with_dateutil(day: date, duration: Duration) -> None:
    step = relativedelta(months=duration.months, days=duration.days)
    assert add(day, duration) == day + step
    assert subtract(day, duration) == day - step


@pytest.mark.parametrize("text", ["P9000Y", "P999999Y", "P999999M", "P999999W"])
def test_leaving_the_calendar_is_said_in_words(text: str) -> None:
    with pytest.raises(DurationError, match="is after the year 9999"):
        add(date(2026, 10, 26), parse_duration(text))
    with pytest.raises(DurationError, match="is before the year 1"):
        subtract(date(2026, 10, 26), parse_duration(text))


def test_days_alone_can_leave_the_calendar_too() -> None:
    with pytest.raises(DurationError, match="9999-12-31 \\+ P1D is after"):
        add(date.max, Duration(days=1))
    with pytest.raises(DurationError, match="0001-01-01 - P1D is before"):
        subtract(date.min, Duration(days=1))
