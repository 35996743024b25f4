"""The days of a job: its file as it was at the end of each, told from what it says in the end.

An entry is there from its own day on, a day of the job from itself on; what the job came to from the day it was
finished, its price from the day it was quoted. What has no day of its own was there from the beginning. The text is
cut, never rewritten, so each state is a file as it would have been written by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any

from jobkit.book.edit.ranges import ranges_of
from jobkit.book.edit.splice import without
from jobkit.book.toml.outline import KeyPath, outline
from jobkit.book.toml.parse import parse_text
from jobkit.jobs.sorts import ENTRIES
from jobkit.named_tuple import NamedTuple

_HOURS = {
    "announced": time(8, 20), "received": time(8, 30), "agreed": time(8, 40), "on": time(8, 40), "since": time(8, 45),
    "started": time(8, 50), "until": time(9, 0), "paid": time(12, 0), "quoted": time(16, 30), "declined": time(16, 40),
    "finished": time(17, 30), "invoice": time(17, 32), "void_on": time(17, 35), "sent": time(17, 45),
    "collected": time(18, 0),
}  # fmt: skip
"""The hour at which a day of the job is taken to be written down."""

_LISTS = tuple(sort.name for sort in ENTRIES if len(sort.path) == 1)
_PRICE_LISTS = tuple(sort.name for sort in ENTRIES if sort.path[0] == "price")
_ENDS = ("outcome", "cause", "fate")
_WITH = {
    ("price", "quoted"): "quoted",
    ("price", "proposal"): "quoted",
    ("price", "ceiling"): "quoted",
    ("price", "if_not_repaired"): "quoted",
    ("price", "charged"): "finished",
    ("price", "shipping"): "sent",
    ("price", "tax"): "sent",
    ("price", "tax_note"): "sent",
    ("comeback", "found"): "finished",
    ("firmware", "left"): "finished",
    ("parcel", "out"): "sent",
    ("parcel", "insured"): "sent",
    ("warranty", "duration"): "finished",
    ("warranty", "from"): "finished",
    ("warranty", "scope"): "finished",
}
"""Keys that are written down on one of the days of the job."""


class Written(NamedTuple):
    """Something in a job file: where it is, when it was written down, and by whom ("" where it is not said)."""

    path: KeyPath
    at: datetime
    by: str = ""
    log: str = ""


class Day(NamedTuple):
    """A job file at the end of a day: the time of the last thing written, who wrote most, what came, and the text.

    `came` are the names of tables and days; `files` the attachments named that day.
    """

    at: datetime
    by: str
    came: tuple[str, ...]
    text: str
    files: tuple[str, ...]


def days_of(text: str) -> list[Day]:
    """Tell the days of a job file, the first one first; raises TomlError."""
    doc, found = parse_text(text), outline(text)
    first = _first_date(doc["dates"])
    start = _moment(doc["dates"][first], first)
    written = [one for one in _written(doc) if one.at > start]
    ranges = {one.path: ranges_of(text, found, one.path) for one in written}
    usual = Counter(one.by for one in written if one.by).most_common(1)
    by = usual[0][0] if usual else ""
    days = []
    for day in sorted({start.date(), *(one.at.date() for one in written)}):
        hidden = [one.path for one in written if one.at.date() > day]
        here = [one for one in written if one.at.date() == day]
        if here or day == start.date():
            cut = [part for path in _outermost(hidden) for part in ranges[path]]
            days.append(_day(here, start, by, without(text, cut)))
    return days


def _day(here: Sequence[Written], start: datetime, by: str, text: str) -> Day:
    hands = Counter(one.by for one in here if one.by).most_common(1)
    return Day(
        max((one.at for one in here), default=start),
        hands[0][0] if hands else by,
        tuple(_name(one.path) for one in here),
        text,
        tuple(one.log for one in here if one.log),
    )


def _written(doc: Mapping[str, Any]) -> Iterator[Written]:
    """Go through everything in a job file that was not there from the beginning."""
    dates = doc["dates"]
    for name, day in dates.items():
        if name in _HOURS and name != _first_date(dates):
            yield Written(("dates", name), _moment(day, name))
    for table in _LISTS:
        for place, row in enumerate(doc.get(table, ())):
            yield _entry((table, place), row, dates)
            if "until" in row:
                yield Written((table, place, "until"), _moment(row["until"], "until"))
    for name in _ENDS:
        if name in doc:
            yield Written((name,), _end(dates))
    if "invoice" in doc:
        yield Written(("invoice",), _moment(doc["invoice"]["on"], "invoice"))
    yield from _tables(doc, dates)
    left = dates.get("sent") or dates.get("collected")
    if left and "place" in doc.get("board", {}):  # where it lay before is not told
        yield Written(("board", "place"), _moment(left, "sent"))


def _first_date(dates: Mapping[str, Any]) -> str:
    """Name the date with which a job begins."""
    return "announced" if "announced" in dates else "received"


def _tables(doc: Mapping[str, Any], dates: Mapping[str, Any]) -> Iterator[Written]:
    """Go through tables whose keys were written one after the other; the table is there from its first key on."""
    for table in ("price", "warranty", "comeback", "firmware", "parcel"):
        rows = doc.get(table, {})
        keys = [one for key in rows for one in _keys(table, key, rows[key], doc, dates)]
        yield from keys
        if rows and len({one.path[:2] for one in keys}) == len(rows):
            yield Written((table,), min(one.at for one in keys))


def _keys(
    table: str, key: str, value: Any, doc: Mapping[str, Any], dates: Mapping[str, Any]
) -> Iterator[Written]:
    if table == "price" and key in _PRICE_LISTS:
        yield from (_entry((table, key, place), row, dates) for place, row in enumerate(value))
    elif (table, key) in _WITH:
        name = _WITH[table, key]
        yield Written((table, key), _moment(dates[name], name) if name in dates else _end(dates))
    elif table == "warranty" and key in {"void", "void_on"}:
        yield Written((table, key), _moment(doc[table].get("void_on", _end(dates)), "void_on"))
    elif table == "firmware" and "started" in dates:
        log = str(value) if key == "saved" else ""
        yield Written((table, key), _moment(dates["started"], "started"), log=log)


def _entry(path: KeyPath, row: Mapping[str, Any], dates: Mapping[str, Any]) -> Written:
    log = str(row.get("log") or row.get("heat") or "")
    for key in ("at", "since", "on"):
        if key in row:
            return Written(path, _moment(row[key], key), str(row.get("by", "")), log)
    return Written(path, _end(dates), str(row.get("by", "")), log)


def _end(dates: Mapping[str, Any]) -> datetime:
    """Tell when it was settled how the job ended."""
    for name in ("finished", "declined", "sent", "collected", "started", "received", "announced"):
        if name in dates:
            return _moment(dates[name], name)
    raise AssertionError("a job file without the day of receipt")


def _moment(day: date | datetime, name: str) -> datetime:
    return day if isinstance(day, datetime) else datetime.combine(day, _HOURS.get(name, time(17, 0)))


def _outermost(paths: Sequence[KeyPath]) -> Iterator[KeyPath]:
    """Leave out what goes with something around it, such as a key of a table that goes."""
    known = set(paths)
    for path in paths:
        if not any(path[:length] in known for length in range(1, len(path))):
            yield path


def _name(path: KeyPath) -> str:
    return str(path[1]) if path[0] == "dates" else str(path[0])
