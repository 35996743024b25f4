"""The checks that can be made next: those of the board file and the bench, and the readings that have a limit."""

from __future__ import annotations

from collections.abc import Iterator, Set
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Check, Design, Point, PointLimit
from jobkit.jobs.job import Job
from jobkit.reckon.entry.defaults import last_soldered, off_the_board
from jobkit.reckon.heat.warm import is_soldered
from jobkit.reckon.readings.cold import is_cold
from jobkit.reckon.readings.limits import QuickVerdict, known_verdict_word
from jobkit.reckon.readings.of_job import quick_verdicts
from jobkit.reckon.suspects.general_causes import general_checks
from jobkit.reckon.suspects.symptoms import Symptom, symptoms_of_check, symptoms_of_limit

READING_MINUTES, CHECK_MINUTES = 2.0, 10.0
"""How long a reading takes, and a check whose minutes nothing tells (our own, no source)."""

_NEEDS_POWER = frozenset(("voltage", "current", "power", "ripple", "frequency", "temperature"))


class PossibleCheck(NamedTuple):
    """A check that can be made: what it shows, how long it takes, and how the board must be for it.

    `is_assumed` says that its minutes are assumed; `point` names where a reading is taken. `wanted` says that the proof
    policy asks for this reading before the board gets power.
    """

    name: str
    symptoms: tuple[Symptom, ...]
    minutes: float
    state: str = "cold"
    how: str = ""
    is_assumed: bool = False
    point: str = ""
    wanted: bool = False


class ColdState(NamedTuple):
    """The cold resistances that must be known before power: the points not read yet, and those that read outside."""

    unread: tuple[str, ...] = ()
    outside: tuple[str, ...] = ()

    @property
    def allows_power(self) -> bool:
        """Whether nothing speaks against power."""
        return not self.unread and not self.outside


def cold_state(job: Job, bench: Bench) -> ColdState:
    """Tell which points were not read cold since the last soldering, or read outside, that must be before power.

    These are the points of the bench's proof policy, and those on the rails that feed a part that was soldered.
    """
    design = bench.designs.get(job.board.design or "")
    points = tuple(dict.fromkeys((*_policy_points(job, bench, design), *_feeding_points(job, design))))
    last = _last_cold(job, bench)
    words = {point: known_verdict_word(last[point], bench, design) for point in points if point in last}
    return ColdState(
        tuple(point for point in points if point not in last),
        tuple(point for point in points if words.get(point) == "out"),
    )


def _policy_points(job: Job, bench: Bench, design: Design | None) -> Iterator[str]:
    policy = bench.settings.proof.get(job.board.kind or "")
    for point in policy.cold_resistance if policy else ():
        if design is None or not design.points or design.point(point):
            yield point


def _feeding_points(job: Job, design: Design | None) -> Iterator[str]:
    """Yield the points with a limit for a cold resistance on the rails that feed parts which were soldered."""
    parts = {work.part for work in job.work if is_soldered(work)}
    rails = {rail.name for rail in design.rails if not parts.isdisjoint(rail.feeds)} if design else set()
    for point in design.points if design else ():
        if point.name and point.rail in rails and any(is_cold(limit) for limit in point.limits):
            yield point.name


def _last_cold(job: Job, bench: Bench) -> dict[str | None, QuickVerdict]:
    since = last_soldered(job)
    cold = [one for one in quick_verdicts(job, bench) if is_cold(one.reading)]
    new = [one for one in cold if since is None or one.reading.at is None or one.reading.at >= since]
    return {one.reading.point: one for one in new}


def possible_checks(
    job: Job, bench: Bench, observed: Set[str], wanted: Set[str]
) -> tuple[PossibleCheck, ...]:
    """List the checks that would show something new; `observed` are the subjects already known.

    `wanted` are the points that must be read cold before the board gets power.
    """
    design = bench.designs.get(job.board.design or "")
    found = {one.name: one for one in _every(job, bench, design, wanted)}
    new = (one._replace(symptoms=_unobserved(one, observed)) for one in found.values())
    return tuple(one for one in new if one.symptoms)


def _every(job: Job, bench: Bench, design: Design | None, wanted: Set[str]) -> Iterator[PossibleCheck]:
    for point in design.points if design else ():
        yield from _readings(point, job, wanted)
    if not design or not design.checks:
        yield from (_check(check, design) for check in general_checks(job.board.kind))
    for check in bench.settings.checks_for(job.board.kind):
        yield _check(check, design)
    for check in design.checks if design else ():
        yield _check(check, design)


def _unobserved(check: PossibleCheck, observed: Set[str]) -> tuple[Symptom, ...]:
    """Return what of a check is not known.

    What must be read before power is read again, whatever it was before the last soldering.
    """
    if check.wanted:
        return check.symptoms
    return tuple(one for one in check.symptoms if one.subject not in observed)


def _check(check: Check, design: Design | None) -> PossibleCheck:
    return PossibleCheck(
        check.name or "",
        symptoms_of_check(check, design),
        CHECK_MINUTES if check.minutes is None else float(check.minutes),
        check.state or "cold",
        check.how or "",
        check.minutes is None,
    )


def _readings(point: Point, job: Job, wanted: Set[str]) -> Iterator[PossibleCheck]:
    off = tuple(sorted(off_the_board(job)))
    for limit in point.limits:
        if limit.kind and tuple(sorted(limit.removed)) in {(), off}:
            state = limit.state or ("powered" if limit.kind in _NEEDS_POWER else "cold")
            yield PossibleCheck(
                _reading_named(point, limit),
                symptoms_of_limit(point, limit),
                READING_MINUTES,
                state,
                point.where or "",
                point=point.name or "",
                wanted=point.name in wanted
                and limit.kind == "resistance"
                and not limit.to
                and state == "cold",
            )


def _reading_named(point: Point, limit: PointLimit) -> str:
    place = f"{point.name} to {limit.to}" if limit.to else point.name
    return f"{place} {limit.kind}"
