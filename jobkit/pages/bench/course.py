"""The course of a stay: everything that was seen, done, agreed and said about a board, at the time it happened.

Entries are told in the phrases that `trail` and `diff` use, so that no key of one stays unsaid here. Readings have
tables of their own on the page; the course has one row for those of a day and stage.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from itertools import groupby
from typing import Any

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Agreement, Message, Note, Seen, Trial
from jobkit.jobs.job import Job
from jobkit.jobs.phrases import Phrase, message_head, more_of, said
from jobkit.jobs.sorts import ENTRIES, READINGS
from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Table, filled
from jobkit.pages.client.phrases import trial_words
from jobkit.pages.forms.data import Data, number
from jobkit.pages.words import listed
from jobkit.reckon.memory.failing_channels import passed_words
from jobkit.reckon.readings.limits import Judged

_IN_HEAD = {"wait", "line", "payment", "credit", "discount", "refund", "reading"}
"""Sorts of entry that the head of the page lists, or a table of their own."""

_STAGES = {"arrival": "readings on arrival", "proof": "proof readings"}


class CourseView(NamedTuple):
    """What the course is told from; `logged` are the places of trials whose limits a log was checked against."""

    job: Job
    design: Design | None
    judged: Sequence[Judged]
    logged: frozenset[Any]


class Event(NamedTuple):
    """One row of the course; `at` is a day where the entry gives no time, None where it gives neither."""

    at: datetime | date | None
    sort: str
    what: str
    details: str = ""
    minutes: Decimal | None = None
    by: str = ""


def course_of(view: CourseView) -> tuple[Event, ...]:
    """List the events of a stay in order of time; those of a day without a time come first, undated ones last."""
    events = [*_entries(view), *_readings(view.judged)]
    return tuple(sorted(events, key=lambda one: _moment(one.at)))


def course_table(events: Sequence[Event]) -> Table:
    """Lay the course out as a table."""
    rows = [(_when(one.at), one.what, one.details, said(one.minutes), one.by) for one in events]
    return filled(Table(("when", "what", "details", "min", "by"), rows, right=("min",)))


def course_data(events: Sequence[Event]) -> list[Data]:
    """Give the course as data."""
    return [
        {
            "at": one.at.isoformat() if one.at else None,
            "sort": one.sort,
            "what": one.what,
            "details": one.details or None,
            "minutes": None if one.minutes is None else number(one.minutes),
            "by": one.by or None,
        }
        for one in events
    ]


def _moment(at: datetime | date | None) -> datetime:
    if at is None:
        return datetime.max
    return at if isinstance(at, datetime) else datetime.combine(at, time.min)


def _when(at: datetime | date | None) -> str:
    if at is None:
        return ""
    return f"{at:%Y-%m-%d %H:%M}" if isinstance(at, datetime) else str(at)


def _entries(view: CourseView) -> Iterator[Event]:
    for sort in ENTRIES:
        if sort.name in _IN_HEAD:
            continue
        for entry in sort.of(view.job):
            at = entry.at or (sort.value(entry, sort.day) if sort.day else None)
            say = _OWN_WORDS.get(type(entry))
            told = say(entry, view) if say else sort.told(_without_minutes(entry), lambda _: "")
            details = ", ".join(filter(None, (*told.rest, *told.more)))
            yield Event(at, sort.name, told.gist, details, getattr(entry, "minutes", None), entry.by or "")


def _without_minutes(entry: Any) -> Any:
    """Leave out the minutes, which have a column of their own."""
    return entry._replace(minutes=None) if "minutes" in entry._fields else entry


def _seen(seen: Seen, view: CourseView) -> Phrase:
    """Tell a check; channels that passed are counted where all others of the board did."""
    passed = passed_words(seen, view.design)
    found = (f"failed {said(seen.failed)}" if seen.failed else "", f"passed {passed}" if passed else "")
    words = "; ".join(filter(None, found))
    return Phrase(seen.check or "seen", (words, seen.what or ""), more_of(seen, "check failed passed what"))


def _trial(trial: Trial, view: CourseView) -> Phrase:
    """Tell a trial; its limits are in the table of its log where there is one."""
    _, _, conditions, _ = trial_words(trial, has_log=trial.path in view.logged)
    told = "run result minutes repeats host supply driver ambient cold_start limit note"
    rest = (conditions, trial.note or "")
    return Phrase(" ".join(filter(None, (trial.run or "trial", trial.result))), rest, more_of(trial, told))


def _agreement(one: Agreement, _view: CourseView) -> Phrase:
    """Tell a price agreed; its day is in the column of times unless it was written down at another time."""
    day = f"agreed on {one.on}" if one.at and one.on != one.at.date() else ""
    return Phrase(
        f"agreed {said(one.amount)}".rstrip(), (day, one.note or ""), more_of(one, "on amount note")
    )


def _note(note: Note, _view: CourseView) -> Phrase:
    return Phrase("note", (note.text or "", _on_the_report(note)), more_of(note, "text client"))


def _message(one: Message, _view: CourseView) -> Phrase:
    rest = (one.text or "", _on_the_report(one))
    return Phrase(message_head(one), rest, more_of(one, "other text client sender"))


def _on_the_report(one: Note | Message) -> str:
    return "(printed on the client's report)" if one.client else ""


_OWN_WORDS: dict[type, Callable[[Any, CourseView], Phrase]] = {
    Seen: _seen,
    Trial: _trial,
    Note: _note,
    Message: _message,
    Agreement: _agreement,
}
"""Sorts of entry that the course tells in other words than `trail`."""


def _readings(judged: Sequence[Judged]) -> Iterator[Event]:
    """Tell the readings of each day and stage in one row."""
    dated = sorted((one for one in judged if one.reading.at), key=lambda one: one.reading.at or datetime.max)
    for (_, stage), group in groupby(dated, key=_day_and_stage):
        here = list(group)
        by = listed(*dict.fromkeys(one.reading.by for one in here))
        what = _STAGES.get(stage, "readings while working")
        yield Event(here[0].reading.at, READINGS.name, what, _verdicts(here), by=by)


def _day_and_stage(one: Judged) -> tuple[date, str]:
    assert one.reading.at is not None
    return one.reading.at.date(), one.reading.stage or "work"


def _verdicts(judged: Sequence[Judged]) -> str:
    """Name the points that are out or near, and count the others."""
    named = [
        f"{one.reading.point} {one.verdict.word}"
        for one in judged
        if one.verdict and one.verdict.word != "in"
    ]
    inside = sum(one.verdict is not None and one.verdict.word == "in" for one in judged)
    unjudged = sum(one.verdict is None for one in judged)
    counts = (f"{inside} within limits" if inside else "", f"{unjudged} without a limit" if unjudged else "")
    return listed(*named, *counts)
