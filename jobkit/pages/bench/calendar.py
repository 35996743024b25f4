"""What falls due as a calendar (iCalendar, RFC 5545) that any calendar program can import.

Events, not to-dos, because many calendars drop to-dos. The text depends on the book alone, never on when it is
written, so a second run changes nothing.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, time, timedelta
from hashlib import sha256

from icalendar import Alarm, Calendar, Event, vText

from jobkit.pages.bench.due import next_step, why
from jobkit.reckon.progress.due import Due

_MORNING = timedelta(hours=9)
_NOT_PLAIN = re.compile(r"[^a-z0-9]+")
_CONTROLS = re.compile(r"[\x00-\x09\x0b-\x1f\x7f]")

HEADINGS = {
    "arrival": "Board expected",
    "warranty": "Warranty ends",
    "quote": "Quote unanswered",
    "part": "Part awaited",
    "payment": "Payment due",
    "collection": "To be collected",
    "promise": "Promised",
    "meter": "Calibration due",
    "dry": "Floor life ends",
}


def as_calendar(bench: str, items: Sequence[Due]) -> str:
    """Write the items as all-day events, each with alarms, in the order given."""
    calendar = Calendar()
    calendar.add("prodid", "-//jobkit//due//EN")
    calendar.add("version", "2.0")
    # The library escapes no property that it does not know (RFC 5545, 3.3.11): this one is text.
    calendar.add("x-wr-calname", vText(_plain(f"{bench}: due")))
    for name, item in zip(uids(bench, items), items, strict=True):
        calendar.add_component(_event(name, item))
    text: str = calendar.to_ical().decode("utf-8")
    return text


def _event(name: str, item: Due) -> Event:
    """Make an event of one day; its end is the day after, because RFC 5545, 3.6.1, has the end exclusive."""
    event = Event()
    event.add("uid", name)
    # 3.8.7.2 asks for the moment at which this was made; the day it is counted from is the same in every run.
    event.add("dtstamp", datetime.combine(item.since, time(), UTC))
    event.add("dtstart", item.on)
    event.add("dtend", item.on + timedelta(days=1))
    event.add("summary", _plain(f"{HEADINGS[item.what]}: {item.job or item.about}"))
    event.add("description", _plain("\n".join(_description(item))))
    event.add("categories", [item.what])
    event.add("transp", "TRANSPARENT")
    for alarm in _alarms(item):
        event.add_component(alarm)
    return event


def uids(bench: str, items: Sequence[Due]) -> Iterator[str]:
    """Name each event so that the same thing keeps its name in every run, and moves when its day moves."""
    times: Counter[str] = Counter()
    for item in items:
        name = _name(item)
        times[name] += 1
        again = f"-{times[name]}" if times[name] > 1 else ""
        yield f"{name}{again}@{_slug(bench) or 'bench'}.jobkit"


def _name(item: Due) -> str:
    about = item.about if item.what in {"part", "meter", "dry"} else ""
    mark = sha256(f"{item.what}\n{item.job}\n{about}".encode()).hexdigest()[:8]
    return f"{_slug(f'{item.what} {item.job or item.about}')}-{mark}"


def _slug(text: str) -> str:
    return _NOT_PLAIN.sub("-", text.lower()).strip("-")


def _description(item: Due) -> Iterator[str]:
    if item.title:
        yield item.title
    yield f"{why(item)}."
    yield f"Next: {next_step(item)}."


def _alarms(item: Due) -> Iterator[Alarm]:
    """Ring in the morning of each day on which to be reminded, and of the day itself where there is none before."""
    for day in item.remind or (item.on,):
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", _plain(f"{HEADINGS[item.what]}: {item.job or item.about}, {item.on}"))
        alarm.add("trigger", _MORNING - timedelta(days=(item.on - day).days))
        yield alarm


def _plain(text: str) -> str:
    """Leave out control characters, which RFC 5545, 3.1, has no place for."""
    return _CONTROLS.sub(" ", text)
