"""The order of a job's dates: what comes first, and what cannot come before it."""

from __future__ import annotations

from datetime import date

from jobkit.jobs.job import Dates
from jobkit.named_tuple import NamedTuple

ORDER = (
    ("announced", "received"),
    ("received", "quoted"),
    ("received", "promised"),
    ("quoted", "agreed"),
    ("quoted", "declined"),
    ("received", "agreed"),
    ("received", "declined"),
    ("received", "started"),
    ("received", "finished"),
    ("started", "finished"),
    ("received", "sent"),
    ("finished", "sent"),
    ("finished", "collected"),
    ("sent", "collected"),
    ("received", "collected"),
)
"""What comes first and what cannot come before it; payment may come at any time."""


class LatestDay(NamedTuple):
    """The latest day that a date may have, and the date that binds it: "" where that is today."""

    day: date
    bound_by: str = ""


def latest_day(key: str, dates: Dates, today: date) -> LatestDay | None:
    """Return the latest day up to today that a date may have beside the others; None where no day suits them.

    >>> latest_day("finished", Dates(started=date(2026, 10, 8), sent=date(2026, 10, 12)), date(2026, 11, 20))
    LatestDay(day=datetime.date(2026, 10, 12), bound_by='sent')
    """
    given = {name: day for name, day in dates._asdict().items() if day}
    last = min(
        [(given[then], then) for one, then in ORDER if one == key and then in given], default=(today, "")
    )
    last = min(last, (today, ""))
    first = max((given[one] for one, then in ORDER if then == key and one in given), default=date.min)
    return LatestDay(*last) if first <= last[0] else None
