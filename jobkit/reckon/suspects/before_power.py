"""What must be known of a cold board before it gets power: which rails are not read, read outside, or too near to tell.

The points are those of the bench's proof policy and those on the rails that feed a part that was soldered. A bench
without a policy for a kind of board reads every point that has a limit; a board without limits needs the check "supply
resistance" to have passed, or a cold reading within a limit of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.entry.defaults import last_soldered
from jobkit.reckon.heat.warm import is_soldered
from jobkit.reckon.readings.cold import is_cold
from jobkit.reckon.readings.limits import QuickVerdict, known_verdict_word
from jobkit.reckon.readings.meters import correct_reading, method_of
from jobkit.reckon.readings.of_job import quick_verdicts

SUPPLY_RESISTANCE = "supply resistance"
"""The check that stands for the cold rails of a board that nothing has limits for."""


class TooNear(NamedTuple):
    """A point whose cold reading is too near its limit to tell on which side it is, and the meters that tell better."""

    point: str
    finer: tuple[str, ...] = ()


class ColdState(NamedTuple):
    """What of the cold resistances speaks against power: points not read yet, outside, or too near their limit."""

    unread: tuple[str, ...] = ()
    outside: tuple[str, ...] = ()
    near: tuple[TooNear, ...] = ()

    @property
    def allows_power(self) -> bool:
        """Whether nothing speaks against power."""
        return not (self.unread or self.outside or self.near)

    @property
    def is_read(self) -> bool:
        """Whether every rail is read and none speaks against power; what no limit judges, you judge yourself."""
        return not (self.outside or self.near or {*self.unread} - {SUPPLY_RESISTANCE})

    @property
    def to_read(self) -> frozenset[str]:
        """The points to read before the board gets power."""
        return frozenset((*self.unread, *(one.point for one in self.near)))


def cold_state(job: Job, bench: Bench) -> ColdState:
    """Tell what speaks against power: any rail that reads outside or near, and what must be read and was not."""
    design = bench.designs.get(job.board.design or "")
    cold = {one.reading.point or "": one for one in quick_verdicts(job, bench) if is_cold(one.reading)}
    since = last_soldered(job)
    last = {point: one for point, one in cold.items() if _is_since(one, since)}
    words = {point: known_verdict_word(one, bench, design) for point, one in cold.items()}
    bad_before = [point for point in cold if point not in last and words[point] in {"out", "near"}]
    required = dict.fromkeys((*_required(job, bench, design, last, words), *bad_before))
    return ColdState(
        tuple(point for point in required if point not in last),
        tuple(point for point in last if words[point] == "out"),
        tuple(TooNear(point, finer_meters(last[point], bench)) for point in last if words[point] == "near"),
    )


def _is_since(one: QuickVerdict, since: datetime | None) -> bool:
    return since is None or one.reading.at is None or one.reading.at >= since


def _required(
    job: Job,
    bench: Bench,
    design: Design | None,
    last: Mapping[str, QuickVerdict],
    words: Mapping[str, str | None],
) -> Iterator[str]:
    """Yield what must be read; where no limit says whether a rail is right, you compare it and write that down."""
    limited = _limited_points(design)
    yield from tuple(_policy_points(job, bench, design)) or limited
    yield from _feeding_points(job, design)
    is_judged = bool(limited) or any(words[point] for point in last)
    if not is_judged and not _has_passed(job, last_soldered(job)):
        yield SUPPLY_RESISTANCE


def _has_passed(job: Job, since: datetime | None) -> bool:
    """Tell whether the supply resistance was compared since the last soldering, and the last comparison was good."""
    seen = [one for one in job.seen if one.check == SUPPLY_RESISTANCE and (one.passed or one.failed)]
    new = [one for one in seen if since is None or one.at is None or one.at >= since]
    return bool(new) and not new[-1].failed


def _policy_points(job: Job, bench: Bench, design: Design | None) -> Iterator[str]:
    policy = bench.settings.proof.get(job.board.kind or "")
    for point in policy.cold_resistance if policy else ():
        if design is None or not design.points or design.point(point):
            yield point


def _limited_points(design: Design | None) -> tuple[str, ...]:
    points = design.points if design else ()
    return tuple(one.name for one in points if one.name and any(is_cold(limit) for limit in one.limits))


def _feeding_points(job: Job, design: Design | None) -> Iterator[str]:
    """Yield the points with a limit for a cold resistance on the rails that feed parts which were soldered."""
    parts = {work.part for work in job.work if is_soldered(work)}
    rails = {rail.name for rail in design.rails if not parts.isdisjoint(rail.feeds)} if design else set()
    limited = _limited_points(design)
    for point in design.points if design else ():
        if point.name in limited and point.rail in rails:
            yield point.name or ""


def finer_meters(one: QuickVerdict, bench: Bench) -> tuple[str, ...]:
    """Name the meters that know this value at least twice as well as the meter that read it."""
    shown = one.reading.shown
    if shown is None:
        return ()
    method, k = method_of(one.reading), bench.settings.decision.k
    read = correct_reading(shown, method, bench.meters, k)
    found = []
    for name in bench.meters:
        again = correct_reading(read.value, method._replace(meter=name, range=None), bench.meters, k)
        if again.uncertainty and (
            read.uncertainty is None or 2 * again.uncertainty.value <= read.uncertainty.value
        ):
            found.append(name)
    return tuple(found)
