"""The checks that can be made next: those of the board file and the bench, and the readings that have a limit."""

from __future__ import annotations

from collections.abc import Iterator, Set

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Check, Design, Point, PointLimit
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.entry.defaults import off_the_board
from jobkit.reckon.suspects.before_power import SUPPLY_RESISTANCE
from jobkit.reckon.suspects.general_causes import general_checks
from jobkit.reckon.suspects.symptoms import Symptom, symptoms_of_check, symptoms_of_limit

READING_MINUTES, CHECK_MINUTES = 2.0, 10.0
"""How long a reading takes, and a check whose minutes nothing tells (our own, no source)."""

INJECTION = "inject"
"""The check that board files call as the entry that it leads to."""

_NEEDS_POWER = frozenset(("voltage", "current", "power", "ripple", "frequency", "temperature"))


class PossibleCheck(NamedTuple):
    """A check that can be made: what it shows, how long it takes, and how the board must be for it.

    `is_assumed` says that its minutes are assumed; `point` names where a reading is taken. `wanted` says that this must
    be known before the board gets power.
    """

    name: str
    symptoms: tuple[Symptom, ...]
    minutes: float
    state: str = "cold"
    how: str = ""
    is_assumed: bool = False
    point: str = ""
    wanted: bool = False

    @property
    def injects(self) -> bool:
        """Whether this is an injection, which shows the part that warms first."""
        return self.name == INJECTION

    @property
    def shows_one(self) -> bool:
        """Whether one result excludes the others: a reading has one value, and one part warms first."""
        return bool(self.point) or self.injects


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
        yield from (_check(check, design, wanted) for check in general_checks(job.board.kind))
    elif SUPPLY_RESISTANCE in wanted:
        general = (one for one in general_checks(job.board.kind) if one.name == SUPPLY_RESISTANCE)
        yield from (_check(check, design, wanted) for check in general)
    for check in (*bench.settings.checks_for(job.board.kind), *(design.checks if design else ())):
        yield _check(check, design, wanted)


def _unobserved(check: PossibleCheck, observed: Set[str]) -> tuple[Symptom, ...]:
    """Return what of a check is not known.

    What must be read before power is read again, whatever it was before the last soldering.
    """
    if check.wanted:
        return check.symptoms
    return tuple(one for one in check.symptoms if one.subject not in observed)


def _check(check: Check, design: Design | None, wanted: Set[str]) -> PossibleCheck:
    return PossibleCheck(
        check.name or "",
        symptoms_of_check(check, design),
        CHECK_MINUTES if check.minutes is None else float(check.minutes),
        check.state or "cold",
        check.how or "",
        check.minutes is None,
        wanted=check.name == SUPPLY_RESISTANCE and check.name in wanted,
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
