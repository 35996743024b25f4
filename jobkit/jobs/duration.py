"""Durations of whole days, weeks, months and years, as ISO 8601 writes them, and how they move a date."""

from __future__ import annotations

import re
from datetime import MAXYEAR, MINYEAR, date, timedelta

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.slip import quoted

# ISO 8601-1:2019, 5.5.2: PnYnMnD or PnW, weeks alone. Six digits are more than any date can bear.
_ISO = re.compile(r"P(?:([0-9]{1,6})Y)?(?:([0-9]{1,6})M)?(?:([0-9]{1,6})D)?|P([0-9]{1,6})W")
_SHORT = re.compile(r"([0-9]{1,6})([dwmy])")
_BARE = re.compile(r"P?([0-9]{1,6})")
_WORDED = re.compile(r"([0-9]{1,6}) ?([dwmy])(?:ays?|eeks?|onths?|ears?)?")
_SAMPLE = 'write it as ISO 8601 does, such as "P6M", "P1Y6M", "P2W" or "P14D"'


class DurationError(MisuseError):
    """A duration that cannot be read, or that leads out of the calendar."""


class Duration(NamedTuple):
    """So many months and so many days; a year is twelve months, a week seven days."""

    months: int = 0
    days: int = 0

    def __str__(self) -> str:
        """Spell it as ISO 8601 does."""
        years, months = divmod(self.months, 12)
        parts = ((years, "Y"), (months, "M"), (self.days, "D"))
        return "P" + ("".join(f"{count}{letter}" for count, letter in parts if count) or "0D")

    def words(self) -> str:
        """Say it in words.

        >>> Duration(months=18).words(), Duration(days=1).words()
        ('1 year and 6 months', '1 day')
        """
        years, months = divmod(self.months, 12)
        parts = ((years, "year"), (months, "month"), (self.days, "day"))
        said = [f"{count} {name}{'' if count == 1 else 's'}" for count, name in parts if count]
        return " and ".join(filter(None, (", ".join(said[:-1]), *said[-1:]))) or "0 days"


def parse_duration(text: str) -> Duration:
    """Read an ISO 8601 duration of whole days, weeks, months or years; raises DurationError.

    >>> parse_duration("P1Y6M"), parse_duration("P2W")
    (Duration(months=18, days=0), Duration(months=0, days=14))
    """
    match = _ISO.fullmatch(text)
    if match is None or text == "P":
        raise DurationError(f"{quoted(text)} is not a duration", _mend(text))
    years, months, days, weeks = (int(count or 0) for count in match.groups())
    return Duration(12 * years + months, days + 7 * weeks)


def parse_within(text: str) -> Duration:
    """Read the command line's "30d", "2w", "6m" or "1y", or an ISO 8601 duration; raises DurationError."""
    match = _SHORT.fullmatch(text.lower())
    if match is not None:
        return parse_duration(f"P{match[1]}{match[2].upper()}")
    if text.upper().startswith("P"):
        return parse_duration(text.upper())
    raise DurationError(f"{quoted(text)} is not a length of time", _mend_short(text))


def add(start: date, duration: Duration) -> date:
    """Go forward, months first, clamped to the month's end, then days; raises DurationError past 9999.

    Adding months is not associative: always count from the start, never from an earlier sum.

    >>> add(date(2024, 1, 31), Duration(months=1)), add(date(2024, 1, 31), Duration(months=2))
    (datetime.date(2024, 2, 29), datetime.date(2024, 3, 31))
    """
    try:
        return _moved(start, duration.months, duration.days)
    except OverflowError:
        raise DurationError(
            f"{start} + {duration} is after the year {MAXYEAR}", "write a shorter duration"
        ) from None


def subtract(end: date, duration: Duration) -> date:
    """Go back, months first, clamped to the month's end, then days; raises DurationError before year 1."""
    try:
        return _moved(end, -duration.months, -duration.days)
    except OverflowError:
        raise DurationError(
            f"{end} - {duration} is before the year {MINYEAR}", "write a shorter duration"
        ) from None


def last_covered(start: date, duration: Duration) -> date:
    """Give the last day that a promise covers: start + duration, that day included; raises DurationError.

    >>> last_covered(date(2026, 10, 26), Duration(months=6))
    datetime.date(2027, 4, 26)
    """
    return add(start, duration)


def _moved(day: date, months: int, days: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if not MINYEAR <= year <= MAXYEAR:
        raise OverflowError
    return date(year, month + 1, min(day.day, _days_in_month(year, month + 1))) + timedelta(days=days)


def _days_in_month(year: int, month: int) -> int:
    # The standard calendar module would load the locale at every start; December stands apart because 9999
    # has no next year.
    return 31 if month == 12 else (date(year, month + 1, 1) - date.resolution).day


def _mend_short(text: str) -> str:
    worded = _WORDED.fullmatch(text.strip().lower())
    if worded:
        return f'write "{worded[1]}{worded[2]}"'
    bare = _BARE.fullmatch(text.strip())
    count = bare[1] if bare else "30"
    return f'write "{count}d" or "P{count}D" for days, "{count}w" for weeks, "{count}m" for months'


def _mend(text: str) -> str:
    upper = text.strip().upper()
    meant = _meant(upper)
    if meant:
        return f"write {meant}"
    if "T" in upper:
        return f"only whole days, weeks, months and years count here; {_SAMPLE}"
    if "W" in upper:
        return 'weeks cannot be combined, as in "P2W"; with months write seven days for each'
    if "-" in text or "−" in text or "." in text or "," in text:
        return f"only whole numbers from 0 on, without a sign; {_SAMPLE}"
    return _SAMPLE


def _meant(upper: str) -> str:
    """Tell what a slip will have meant, "" where it cannot be told."""
    if _ISO.fullmatch(upper) and upper != "P":
        return f'"{upper}"'
    if _SHORT.fullmatch(upper.lower()):
        return f'"P{upper}"'
    bare = _BARE.fullmatch(upper)
    return f'"P{bare[1]}D" for days, "P{bare[1]}M" for months' if bare else ""
