"""Whether a board is covered on a day: by which promise, from when until when, and what a comeback does to it.

This is arithmetic on what the bench promised. Local law may give the client more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from functools import lru_cache
from itertools import pairwise

from jobkit.jobs.duration import Duration, DurationError, last_covered, parse_duration
from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.in_force import in_force
from jobkit.jobs.settings import WarrantyHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.terms import agreed_day

COVERED, ENDED, VOID, NOT_BEGUN, NONE, NOT_HERE = "covered", "ended", "void", "not begun", "none", "not here"
"""What can be said of a job's warranty on a day."""

CONTINUES, RESTARTS, RESTARTS_LATER, OUTLASTS = "continues", "restarts", "restarts later", "outlasts"
"""How a comeback carries the earlier warranty on: it restarts later where its own day is in the future, and outlasts
where a restart would have ended sooner."""

NEEDED = frozenset(("warranty", "dates", "comeback"))
"""The tables of a job that its warranty depends on."""

OWN_TERMS = "own terms"
"""A comeback whose file has a warranty of its own: what is written in the job wins."""

ANOTHER_REPAIR = ("new-fault", "misuse")
"""What a comeback is found to be where it is a repair of its own, which the earlier promise does not reach."""


class Cover(NamedTuple):
    """What can be said of one job's warranty at the end of the day `on`.

    `state` is one of the six above. `chain` leads from the first job of the board to this one. `link` tells how the
    last comeback of the chain stands to the warranty before it: carried on, or alone for one of the reasons of
    `_why_alone`. `source` is the job whose day is counted from. `lacks` says why there is no warranty: "habit" (the
    bench has none), "repair" (nothing was repaired), "time" (P0D) or "errors" (its file cannot be read). `still` is the
    earlier warranty where this job has terms of its own and that one continues all the same. `terms` are the bench's on
    the day on which the warranty was agreed. `broken` is "loop" where the chain of comebacks bites its own tail, or the
    id of a job that is not in the book.
    """

    job: str
    on: date
    state: str
    chain: tuple[str, ...] = ()
    first_day: date | None = None
    last_day: date | None = None
    duration: Duration | None = None
    counted_from: str = "sent"
    own_terms: bool = False
    source: str = ""
    link: str = ""
    scope: str = ""
    void: str = ""
    void_on: date | None = None
    lacks: str = ""
    still: tuple[str, date] | None = None
    broken: str = ""
    terms: WarrantyHabit = WarrantyHabit()

    @property
    def covered(self) -> bool:
        """Tell whether the board is covered."""
        return self.state == COVERED

    @property
    def days_left(self) -> int | None:
        """Count the days after `on` that are still covered: 0 on the last one, negative once it is over."""
        return (self.last_day - self.on).days if self.last_day else None

    @property
    def end(self) -> date | None:
        """Give the day after which nothing was covered any more: the last day, or the day the void was found."""
        days = [day for day in (self.last_day, self.void_on) if day]
        return min(days) if days else None


History = Sequence[WarrantyHabit]
"""The warranties of the bench, in the order of their first days."""


def cover(job: str, known: Mapping[str, Facts], habits: History, on: date) -> Cover:
    """Tell how a job is covered; `known` are the facts as of `on`, by id.

    What the bench promises is what it promised on the day on which the job was agreed (`agreed_day`).

    A promise lasts from the day it is counted from to that day plus its duration, the last day included; months are
    counted from the start and clamped to the month's end. A comeback that was received while the earlier warranty ran
    continues or restarts it, as the bench's terms for that warranty say; one with a duration or a first day of its own
    goes by these. A new fault and misuse are repairs of their own. Where a restart would end sooner than what was
    promised first, the first promise is valid.
    """
    one = known.get(job)
    if one is None:
        return Cover(job, on, NOT_HERE, (job,))
    if not one.comeback_of:
        return _own(one, habits, on)
    links, broken = _links(one, known)
    found = _own(links[0], habits, on)
    for earlier, later in pairwise(links):
        found = _after_comeback(found, earlier, later, habits)
    return found._replace(chain=tuple(each.id for each in links), broken=broken)


def may_be_covered(one: Facts, known: Mapping[str, Facts], habits: History, on: date) -> bool:
    """Tell at little cost whether a job may be covered; one of which this says no is not, now or later on."""
    if not one.comeback_of:
        return _may_run(one, habits, on)
    return any(_may_run(each, habits, on) for each in _links(one, known)[0])


def comebacks(known: Mapping[str, Facts]) -> dict[str, tuple[Facts, ...]]:
    """Find the jobs as which boards came back, in order of receipt, by the id of the job they name."""
    named: dict[str, list[Facts]] = {}
    for one in sorted(known.values(), key=lambda each: (each.received, each.id)):
        if one.comeback_of:
            named.setdefault(one.comeback_of, []).append(one)
    return {job: tuple(later) for job, later in named.items()}


def left_on(one: Facts) -> date | None:
    """Tell the day on which a board left the bench: sent, or collected where nothing was sent."""
    return _day(one.sent or one.collected)


def _links(one: Facts, known: Mapping[str, Facts]) -> tuple[list[Facts], str]:
    """Walk from a job back to the board's first; jobs that name each other in a circle stand alone."""
    links, seen = [one], {one.id}
    while of := links[-1].comeback_of:
        if of in seen:
            return [one], "loop"
        if of not in known:
            break
        links.append(known[of])
        seen.add(of)
    return links[::-1], of


def _own(one: Facts, habits: History, on: date) -> Cover:
    """Tell what the job itself promises, whatever came before it."""
    habit = _agreed(one, habits, on)
    if NEEDED & {*one.unreadable}:
        return Cover(one.id, on, NONE, (one.id,), source=one.id, lacks="errors", terms=habit)
    duration, lacks = _duration(one, habit)
    counted_from = one.warranty_from or habit.counted_from
    first = _day(getattr(one, counted_from)) if duration else None
    last = _last(first, duration) if first and duration else None
    return Cover(
        one.id,
        on,
        _state(duration, one.warranty_void, last, on),
        (one.id,),
        first,
        last,
        duration,
        counted_from,
        own_terms=bool(one.warranty_duration),
        source=one.id,
        scope=one.warranty_scope,
        void=one.warranty_void,
        void_on=_day(one.warranty_void_on),
        lacks=lacks,
        terms=habit,
    )


def _agreed(one: Facts, habits: History, on: date) -> WarrantyHabit:
    """Return the bench's warranty on the day on which a job was agreed; none before its first one."""
    return in_force(habits, agreed_day(one, on.isoformat())) or WarrantyHabit()


def _may_run(one: Facts, habits: History, on: date) -> bool:
    habit = _agreed(one, habits, on)
    first = getattr(one, one.warranty_from or habit.counted_from)
    return bool(first) and first >= _over_before(one.warranty_duration, habit.duration, on)


@lru_cache
def _over_before(own: str, usual: Duration | None, on: date) -> Day:
    """Give a day before which no promise of such a length can have begun that still runs: no month has over 31 days."""
    duration = parse_duration(own) if own else usual or Duration()
    try:
        return (on - timedelta(days=31 * duration.months + duration.days)).isoformat()
    except OverflowError:
        return date.min.isoformat()


def _duration(one: Facts, habit: WarrantyHabit) -> tuple[Duration | None, str]:
    """Find how long the promise is, or what it lacks: the job's own word, else the habit, given on repairs."""
    if one.warranty_duration:
        own = parse_duration(one.warranty_duration)
        return (own, "") if own != Duration() else (None, "time")
    if one.outcome not in {"repaired", ""} and not (one.warranty_from or one.warranty_scope):
        return None, "repair"
    return (habit.duration, "") if habit.duration and habit.duration != Duration() else (None, "habit")


def _last(first: date, duration: Duration) -> date:
    try:
        return last_covered(first, duration)
    except DurationError:
        return date.max


def _state(duration: Duration | None, void: str, last: date | None, on: date) -> str:
    if duration is None:
        return NONE
    if void:
        return VOID
    if last is None:
        return NOT_BEGUN
    return COVERED if on <= last else ENDED


def _after_comeback(before: Cover, earlier: Facts, later: Facts, habits: History) -> Cover:
    own = _own(later, habits, before.on)
    alone = _why_alone(before, earlier, later)
    if alone:
        runs_on = (before.job, before.last_day) if before.covered and before.last_day else before.still
        return own._replace(link=alone, still=runs_on)
    if later.warranty_duration or later.warranty_from:
        return own._replace(link=OWN_TERMS, still=_outlasting(before, own))
    link = _carried_how(before, own)
    if link == RESTARTS:
        return own._replace(link=link)
    carried = before._replace(
        job=later.id,
        link=link,
        scope=later.warranty_scope or before.scope,
        void=later.warranty_void,
        void_on=_day(later.warranty_void_on),
    )
    return carried._replace(state=_state(carried.duration, carried.void, carried.last_day, carried.on))


def _outlasting(before: Cover, own: Cover) -> tuple[str, date] | None:
    """Return the earlier warranty where it ends after the comeback's own, so that the first promise is not lost."""
    if not before.covered or before.last_day is None or (own.last_day and own.last_day >= before.last_day):
        return None
    return before.job, before.last_day


def _carried_how(before: Cover, own: Cover) -> str:
    if before.terms.comeback != "restarts" or own.duration is None:
        return CONTINUES
    if own.last_day is None or before.last_day is None:
        return RESTARTS_LATER
    return RESTARTS if own.last_day >= before.last_day else OUTLASTS


def _why_alone(before: Cover, earlier: Facts, later: Facts) -> str:
    """Say why a comeback does not carry the earlier warranty on, "" where it does."""
    left = left_on(earlier)
    back = _day(later.received)
    if before.state == NONE:
        return "nothing before"
    if left is None or (back and back < left):
        return "not sent before"
    if before.last_day is None:
        return "not begun before"
    if later.comeback_found in ANOTHER_REPAIR:
        return later.comeback_found
    if before.void:
        return "void before"
    return "ended before" if back and back > before.last_day else ""


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None
