"""Whether a log was recorded on the day of the entry that names it."""

from __future__ import annotations

from datetime import datetime, timedelta

_LATE = timedelta(hours=12)
"""An entry may be written half a day before the first row of its log, or after the last. Our choice, no source."""


def is_of_another_day(begun: datetime | None, seconds: float, at: datetime | None) -> bool:
    """Tell whether a log of so many seconds was recorded on another day than that of its entry; False where not known.

    A run overnight is on two days, and so is one that was begun before midnight.

    >>> entry = datetime(2026, 10, 9, 9, 30)
    >>> is_of_another_day(datetime(2026, 10, 8, 11, 0), 600, entry)
    True
    >>> is_of_another_day(datetime(2026, 10, 8, 18, 0), 14 * 3600, entry)
    False
    """
    if begun is None or at is None or begun.date() == at.date():
        return False
    return not begun - _LATE <= at <= begun + timedelta(seconds=seconds) + _LATE
