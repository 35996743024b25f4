"""What changed between two states of a job, in the words of the job instead of lines of a file."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Iterator
from datetime import date, datetime, time
from itertools import groupby
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.jobs.phrases import Judge, Phrase, stamp
from jobkit.jobs.sorts import ENTRIES, READINGS, Sort
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.changes.job_fields import job_fields
from jobkit.reckon.readings.limits import verdict_word
from jobkit.reckon.readings.meters import correct_lead, method_of

ADDED, CHANGED, REMOVED = "added", "changed", "removed"
"""What can become of a thing."""


class Step(NamedTuple):
    """What a change did to the thing that `key` names: its full text before and after, "" where it is not there.

    `there` counts the things that were there before and say just what this one says now.
    """

    key: Hashable
    was: str
    now: str
    there: int = 0


class Change(NamedTuple):
    """One thing that changed: what sort of thing, what became of it, and how the bench says it.

    `at` is when the thing itself happened, a day where the entry gives no time; None where it gives neither. `steps`
    say the same for a program: which things these are, and their whole texts.
    """

    what: str
    how: str
    words: str
    at: datetime | date | None = None
    steps: tuple[Step, ...] = ()


class JobVersion(NamedTuple):
    """A job, and what the bench knew when it was like this: limits and meters give its readings their verdicts."""

    job: Job
    bench: Bench


def changes(before: JobVersion | None, after: JobVersion | None) -> tuple[Change, ...]:
    """Tell what changed from one state of a job to another; None where there was, or is, none.

    First what is said of the job as a whole, then the entries in order of their time. Remarks, layout and keys that
    are the bench's own are no part of a job.
    """
    if after is None:
        return (Change("job", REMOVED, "removed from the book"),) if before else ()
    begun = (
        () if before else (Change("job", ADDED, f"{_begun(after.job)}: {after.job.title or after.job.id}"),)
    )
    old = before.job if before else None
    # Of a job that is the same as before, only the verdicts may have changed.
    sorts = (READINGS,) if before and before.job == after.job else ENTRIES
    entries = [change for sort in sorts for change in _of_sort(sort, before, after)]
    agreed = {change.words.split()[1] for change in entries if change.words.startswith("agreed ")}
    said = [one for one in _of_the_whole(old, after.job) if not _said_by_price(one, agreed)]
    if not before:
        said = list(_taken_together(one for one in said if one.what not in {"id", "title"}))
    entries.sort(key=_moment)
    return (*begun, *said, *entries, *_unread(old, after.job))


def _moment(change: Change) -> datetime:
    at = change.at or datetime.max
    return at if isinstance(at, datetime) else datetime.combine(at, time.min)


def told_of(known: JobVersion) -> dict[Hashable, list[str]]:
    """Give the whole texts of all that a job says, each thing under the key that steps have."""
    texts: dict[Hashable, list[str]] = {
        (what, label): [text] for what, label, text in job_fields(known.job) if text
    }
    for sort in ENTRIES:
        for one in _said(sort, known):
            texts.setdefault(_key(sort, one.entry), []).append(_whole(one))
    return texts


def _begun(job: Job) -> str:
    return "announced" if job.dates.announced and not job.dates.received else "booked in"


def judge(known: JobVersion) -> Judge:
    """Give the verdicts on the readings of a job, each with the value that it is made of where that was not shown."""
    design = known.bench.designs.get(known.job.board.design or "")

    def verdict(reading: Reading) -> str:
        word = verdict_word(reading, known.bench, design)
        if not word or reading.shown is None:
            return ""
        corrected = correct_lead(reading.shown, method_of(reading), known.bench.meters)
        mean = "mean of all " if reading.again else ""
        leads = " without leads" if corrected.lead else ""
        return f"{word} ({mean}{corrected.value.text}{leads})" if mean or leads else word

    return verdict


def _said_by_price(change: Change, agreed: set[str]) -> bool:
    """Tell whether a price agreed that day says it all."""
    return (
        change.what == "dates" and change.how == ADDED and change.words in {f"agreed {day}" for day in agreed}
    )


def _unread(before: Job | None, after: Job) -> Iterator[Change]:
    count = len(after.broken)
    if after.broken - (before.broken if before else frozenset()):
        places = "1 place" if count == 1 else f"{count} places"
        yield Change("job", CHANGED, f"{places} in the file cannot be read")


def _taken_together(new: Iterable[Change]) -> Iterator[Change]:
    """Tell in one breath what a new job says of one matter."""
    for what, several in groupby(new, key=lambda one: one.what):
        together = list(several)
        words = "; ".join(one.words for one in together)
        yield Change(what, ADDED, words, steps=tuple(step for one in together for step in one.steps))


def _of_the_whole(before: Job | None, after: Job) -> Iterator[Change]:
    old = {(what, label): text for what, label, text in job_fields(before)} if before else {}
    new = {(what, label): text for what, label, text in job_fields(after)}
    for what, label in {**new, **old}:
        was, is_ = old.get((what, label), ""), new.get((what, label), "")
        if was == is_:
            continue
        steps = (Step((what, label), was, is_),)
        if not was:
            yield Change(what, ADDED, f"{label} {is_}", steps=steps)
        elif not is_:
            yield Change(what, REMOVED, f"{label} {was}", steps=steps)
        else:
            yield Change(what, CHANGED, f"{label} {is_} (was {was})", steps=steps)


def _of_sort(sort: Sort, before: JobVersion | None, after: JobVersion) -> Iterator[Change]:
    said = _said(sort, before)
    gone, come = _without_common(said, _said(sort, after))
    there = Counter(map(_whole, said))
    for was, now in _paired(sort, gone, come):
        one = now or was or _NOTHING
        at = one.entry.at or (sort.value(one.entry, sort.day) if sort.day else None)
        steps = (_step(sort, was, now, there),)
        if was is None and now is not None:
            yield Change(sort.name, ADDED, str(now.phrase), at, steps)
        elif now is None and was is not None:
            yield Change(sort.name, REMOVED, str(was.phrase), at, steps)
        elif was is not None and now is not None:
            yield Change(sort.name, CHANGED, _difference(was, now), at, steps)


def _step(sort: Sort, was: _Said | None, now: _Said | None, there: Counter[str]) -> Step:
    """Say what became of an entry, and count it among those that are there."""
    one = now or was or _NOTHING
    step = Step(
        _key(sort, one.entry), _whole(was) if was else "", _whole(now) if now else "", there[_whole(one)]
    )
    if now:
        there[step.now] += 1
    return step


def _key(sort: Sort, entry: Any) -> Hashable:
    return sort.name, sort.identity(entry)


def _whole(one: _Said) -> str:
    """Give all that an entry says, with its time and hand."""
    return ", ".join((*one.phrase.parts(), *one.stamp))


class _Said(NamedTuple):
    entry: Any
    phrase: Phrase
    stamp: tuple[str, ...]


_NOTHING = _Said(None, Phrase(""), ())


def _said(sort: Sort, known: JobVersion | None) -> list[_Said]:
    if known is None:
        return []
    verdict = judge(known)
    return [_Said(one, sort.told(one, verdict), stamp(one)) for one in sort.of(known.job)]


def _without_common(old: list[_Said], new: list[_Said]) -> tuple[list[_Said], list[_Said]]:
    """Leave out what says the same on both sides, as often as it is on both."""
    rest = list(old)
    come: list[_Said] = []
    for one in new:
        same = next((other for other in rest if other[1:] == one[1:]), None)
        if same is None:
            come.append(one)
        else:
            rest.remove(same)
    return rest, come


def _paired(sort: Sort, gone: list[_Said], come: list[_Said]) -> Iterator[tuple[_Said | None, _Said | None]]:
    """Pair the old and the new state of an entry; what has no partner has come or gone."""
    left: defaultdict[Hashable, list[_Said]] = defaultdict(list)
    for one in gone:
        left[sort.identity(one.entry)].append(one)
    for one in come:
        was = left[sort.identity(one.entry)]
        yield (was.pop(0) if was else None), one
    for others in left.values():
        yield from ((one, None) for one in others)


def _difference(was: _Said, now: _Said) -> str:
    """Tell the new state of an entry, and what it said before."""
    old, new = (*was.phrase.parts(), *was.stamp), (*now.phrase.parts(), *now.stamp)
    more = [part for part in (*now.phrase.more, *now.stamp) if part and part not in old]
    before = [part for part in old if part and part not in new]
    return ", ".join((str(now.phrase), *more)) + (f" (was {', '.join(before)})" if before else "")
