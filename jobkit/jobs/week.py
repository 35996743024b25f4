"""The week of ISO 8601: Monday to Sunday, numbered so that the first one has the year's first Thursday."""

from __future__ import annotations

import re
from datetime import MAXYEAR, MINYEAR, date, timedelta

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.slip import quoted

# ISO 8601-1:2019, 5.2.3: four digits of the year, W, two digits of the week.
_WEEK = re.compile(r"([0-9]{4})-W([0-9]{2})")
_NEARLY = re.compile(r"([0-9]{4})[-/ ]?[Ww]?[-/ ]?([0-9]{1,2})")
_MONDAY, _SUNDAY = 1, 7


class WeekError(MisuseError):
    """A week that cannot be read, does not exist, or is outside the calendar."""


class Week(NamedTuple):
    """One week; its year is that of its Thursday, so the days round New Year may belong to the other year."""

    year: int
    number: int

    def __str__(self) -> str:
        """Label it: "2026-W47"."""
        return f"{self.year:04d}-W{self.number:02d}"


def parse_week(text: str) -> Week:
    """Read "2026-W47", in any case; raises WeekError, also for a week that its year does not have.

    >>> parse_week("2026-W53")
    Week(year=2026, number=53)
    """
    match = _WEEK.fullmatch(text.upper())
    if match is None:
        raise WeekError(f"{quoted(text)} is not a week", _mend(text))
    week = Week(int(match[1]), int(match[2]))
    if week.year < MINYEAR:
        raise WeekError(f"there is no week {week}", "the calendar begins with the year 1")
    if not 1 <= week.number <= weeks_in(week.year):
        raise WeekError(
            f"there is no week {week}", f"{week.year} has {weeks_in(week.year)} weeks, from W01 on"
        )
    return week


def week_of(day: date) -> Week:
    """Tell the week that a day is in.

    >>> str(week_of(date(2008, 12, 29)))
    '2009-W01'
    """
    year, number, _ = day.isocalendar()
    return Week(year, number)


def weeks_in(year: int) -> int:
    """Tell whether a year has 52 or 53 weeks: 28 December is always in its last (ISO 8601-1:2019, 4.2.2)."""
    return date(year, 12, 28).isocalendar().week


def first_day(week: Week) -> date:
    """Give the week's Monday."""
    return date.fromisocalendar(week.year, week.number, _MONDAY)


def last_day(week: Week) -> date:
    """Give the week's Sunday; raises WeekError for the week that runs beyond 9999-12-31."""
    try:
        return date.fromisocalendar(week.year, week.number, _SUNDAY)
    except (OverflowError, ValueError):
        raise WeekError(f"{week} does not end in the year {MAXYEAR}", "choose an earlier week") from None


def before(week: Week, count: int = 1) -> Week:
    """Go back `count` weeks; raises WeekError before the first week of the year 1.

    >>> str(before(Week(2027, 1))), str(before(Week(2027, 1), 8))
    ('2026-W53', '2026-W46')
    """
    try:
        return week_of(first_day(week) - timedelta(weeks=count))
    except OverflowError:
        raise WeekError(f"there is no week {count} before {week}", "choose a later week") from None


def _mend(text: str) -> str:
    match = _NEARLY.fullmatch(text.strip())
    if match is None:
        return 'write the year, -W and the week\'s two digits, as in "2026-W47"'
    return f'write "{match[1]}-W{match[2]:0>2}"'
