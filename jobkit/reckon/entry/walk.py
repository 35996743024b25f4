"""The walk from point to point: which readings are to be taken, in which order, and which of them are there already.

On arrival everything the board file names that is measured without power, in its order. For proof first the cold
resistances of the bench's proof policy, in its order, then the rest without power, then what is read under power: a
board that reads low gets none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.design import Point, PointLimit
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.jobs.manner import Manner, manner
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.entry.defaults import COLD_KINDS, default_state, last_soldered, off_the_board
from jobkit.reckon.entry.reading_entry import BenchContext, Overrides, Pair, make_reading

WALKS = ("arrival", "proof")


class WalkStop(NamedTuple):
    """One reading to take: at which point, where that is, and in which manner."""

    point: str
    kind: str
    state: str
    where: str | None = None
    rail: str | None = None
    to: str | None = None
    red_on: str | None = None
    removed: tuple[str, ...] = ()

    @property
    def powered(self) -> bool:
        """Whether the board has power for it."""
        return self.state == "powered"

    @property
    def manner(self) -> Manner:
        """In which manner the reading compares with others: as of a board that has cooled down."""
        state = "cold" if self.state == "warm" else self.state
        return Manner(self.point, self.kind, self.to or "", self.red_on or "", state, self.removed)


def stops(context: BenchContext, stage: str) -> tuple[WalkStop, ...]:
    """List the readings of a walk, each manner once."""
    found: dict[Manner, WalkStop] = {}
    for stop in _proof(context) if stage == "proof" else _cold(context):
        found.setdefault(stop.manner, stop)
    return tuple(found.values())


def is_read(stop: WalkStop, job: Job, stage: str) -> bool:
    """Tell whether the reading is there at this stage; for proof, whether it was taken after the last soldering."""
    since = last_soldered(job) if stage == "proof" else None
    return any(
        reading.stage == stage
        and manner(reading) == stop.manner
        and (since is None or reading.at is None or reading.at >= since)
        for reading in job.readings
    )


def reading_at(stop: WalkStop, typed: str, overrides: Overrides, context: BenchContext) -> Reading:
    """Make a reading of a value typed at a stop; raises MisuseError."""
    overrides = overrides._replace(kind=stop.kind, state=stop.state, as_is=True)
    reading = make_reading(Pair(stop.point, typed), overrides, context)
    return reading._replace(to=stop.to, red_on=stop.red_on, removed=stop.removed)


def _proof(context: BenchContext) -> Iterator[WalkStop]:
    policy = context.bench.settings.proof_for(context.job.board.kind, context.job.outcome)
    for name in policy.cold_resistance if policy else ():
        point = (context.design.point(name) if context.design else None) or Point((), name)
        yield _stop(context, point, PointLimit((), "resistance", "cold"))
    yield from _cold(context)
    yield from _powered(context)


def _cold(context: BenchContext) -> Iterator[WalkStop]:
    """Go through what is measured without power; a point without limits has its resistance taken."""
    for point, limit in _limits(context):
        if limit.kind in COLD_KINDS and limit.state != "powered":
            yield _stop(context, point, limit)
        elif not point.limits:
            yield _stop(context, point, PointLimit((), "resistance", "cold"))


def _powered(context: BenchContext) -> Iterator[WalkStop]:
    for point, limit in _limits(context):
        if point.limits and (limit.state == "powered" or limit.kind not in COLD_KINDS):
            yield _stop(context, point, limit)


def _limits(context: BenchContext) -> Iterator[tuple[Point, PointLimit]]:
    """Go through points and limits; one with packages off the board only where just these are off."""
    off = tuple(sorted(off_the_board(context.job)))
    for point in context.design.points if context.design else ():
        for limit in _fitting(point.limits, off) or (() if point.limits else (PointLimit(()),)):
            yield point, limit


def _fitting(limits: Iterable[PointLimit], off: tuple[str, ...]) -> list[PointLimit]:
    return [limit for limit in limits if tuple(sorted(limit.removed)) in {(), off}]


def _stop(context: BenchContext, point: Point, limit: PointLimit) -> WalkStop:
    kind = limit.kind or "resistance"
    return WalkStop(
        point.name or "",
        kind,
        "warm"
        if limit.state == "cold" and context.warm
        else limit.state or default_state(point, kind, warm=context.warm),
        point.where,
        point.rail,
        limit.to,
        limit.red_on,
        tuple(sorted(off_the_board(context.job))),
    )
