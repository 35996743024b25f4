"""The clock: the one place that looks at it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from jobkit.jobs.settings import Settings


def day(on: str | None, settings: Settings) -> date:
    """Read `--on`; where it is not given, today in the bench's zone."""
    return now(settings).date() if on is None else read_day(on, settings)


_DAYS_AGO = {"today": 0, "yesterday": 1}


def read_day(text: str, settings: Settings) -> date:
    """Read a date of the command line, today or yesterday, in the bench's zone; raises MisuseError."""
    if text.casefold() in _DAYS_AGO:
        return now(settings).date() - timedelta(days=_DAYS_AGO[text.casefold()])
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise MisuseError(f'"{text}" is not a date', "write it like 2026-10-19, today or yesterday") from None


def zone(settings: Settings) -> ZoneInfo:
    """Tell the time zone of the bench; raises MisuseError where there is none of that name."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        return ZoneInfo(settings.zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):  # the last of a folder of zones, or too long a name
        raise MisuseError(f'there is no time zone "{settings.zone}"', "correct zone in bench.toml") from None


def now(settings: Settings) -> datetime:
    """Tell the local time of the bench."""
    return datetime.now(zone(settings)).replace(tzinfo=None, microsecond=0)


def now_in_utc() -> datetime:
    """Tell the time in UTC, without its offset."""
    return datetime.now(UTC).replace(tzinfo=None, microsecond=0)


def day_at(seconds: int, settings: Settings) -> date:
    """Tell which day it was at the bench, so many seconds after the beginning of 1970; raises MisuseError."""
    return datetime.fromtimestamp(seconds, zone(settings)).date()


def today_in(zone: str) -> str:
    """Tell which day it is in a time zone, as ISO 8601 text; "" where there is none of that name."""
    from zoneinfo import ZoneInfo

    try:
        return datetime.now(ZoneInfo(zone)).date().isoformat()
    except (OSError, ValueError, LookupError):
        return ""


def has_begun(day: str, zone: str) -> bool:
    """Tell whether a day (ISO 8601 text) has begun in a time zone; False where there is no such zone."""
    # Nowhere is the date more than a day behind that of UTC; and the zones take longer to load than all the rest.
    if day <= (datetime.now(UTC) - timedelta(days=1)).date().isoformat():
        return True
    return day <= today_in(zone)
