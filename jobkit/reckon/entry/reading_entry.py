"""From what is typed to a reading: point and value in turn, the rest by habit unless it is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.jobs.naming import UnknownNameError, named
from jobkit.reckon.entry.defaults import (
    STAGES,
    STATES,
    default_stage,
    is_under_power,
    kind_habit,
    lead_habit,
    meter_habit,
    off_the_board,
    state_habit,
    warm_until,
)
from jobkit.units.errors import MisuseError
from jobkit.units.kinds import KINDS
from jobkit.units.limit import parse_limit, usual_limit_spelling
from jobkit.units.quantity import parse_quantity
from jobkit.units.typed import as_written, is_unit, kinds_told, looks_like_value

GROUND = "ground"


class TypedError(MisuseError):
    """Words that are not points and values in turn."""


class Pair(NamedTuple):
    """A point and its value, as typed."""

    point: str
    value: str


class Said(NamedTuple):
    """What the person says of readings; None and () follow the habits. `removed` of ("none",) is none at all.

    With `as_is`, names that no file of the book knows are taken as they are.
    """

    stage: str | None = None
    kind: str | None = None
    state: str | None = None
    to: str | None = None
    red_on: str | None = None
    removed: tuple[str, ...] = ()
    meter: str | None = None
    range: str | None = None
    four_wire: bool = False
    unsettled: bool = False
    limit: str | None = None
    note: str | None = None
    as_is: bool = False


class Situation(NamedTuple):
    """Who takes readings of which job, and when; `meters` are those used last, by kind; `proving` as in habits."""

    job: Job
    bench: Bench
    now: datetime
    by: str | None = None
    meters: Mapping[str, str] = {}
    proving: bool = False

    @property
    def design(self) -> Design | None:
        """The board file of the job, if there is one."""
        return self.bench.designs.get(self.job.board.design or "")

    @property
    def warm(self) -> bool:
        """Whether the board has not cooled down after heat."""
        until = warm_until(self.job, self.bench.settings.cooling_minutes)
        return until is not None and self.now < until


def pairs(words: Sequence[str], points: Sequence[str]) -> tuple[Pair, ...]:
    """Part what is typed into points and values; a unit may stand apart from its number. Raises TypedError.

    >>> pairs(["vmem", "23.4", "ohm", "v12", "3k2"], ["VMEM", "V12"])
    (Pair(point='vmem', value='23.4 ohm'), Pair(point='v12', value='3k2'))
    """
    return tuple(_pairs(list(words), {point.casefold() for point in points}))


def points_of(there: Situation) -> tuple[str, ...]:
    """Name the points a reading may be taken at: the board file's, else those the bench and the job know of."""
    design = there.design
    if design and design.points:
        return tuple(point.name for point in design.points if point.name)
    policy = there.bench.settings.proof_for(there.job.board.kind, there.job.outcome)
    read = (reading.point for reading in there.job.readings if reading.point)
    return tuple(dict.fromkeys((*(policy.cold_resistance if policy else ()), *read)))


def settle_all(typed: Sequence[Pair], said: Said, there: Situation) -> list[Reading]:
    """Make readings of the points and values of one call; a bare number goes with the units of the others."""
    told = tuple(dict.fromkeys(kind for pair in typed for kind in kinds_told(pair.value)))
    return [settle(pair, said, there, told) for pair in typed]


def settle(pair: Pair, said: Said, there: Situation, others: tuple[str, ...] = ()) -> Reading:
    """Make a reading of a point and a value; raises MisuseError where they cannot be one, or leave it open."""
    name = _point(pair.point, said, there)
    point = there.design.point(name) if there.design else None
    kind = _kind(pair.value, said, point or Point((), name), there, others)
    value = parse_quantity(as_written(pair.value, kind), kind)
    to, red_on = lead_habit(point, kind)
    limit = parse_limit(usual_limit_spelling(said.limit, kind), kind) if said.limit else None
    return Reading(
        path=(),
        at=there.now,
        by=there.by,
        stage=_among(said.stage, STAGES, "stage") or default_stage(there.job, proving=there.proving),
        point=name,
        kind=kind,
        value=value,
        limit=limit,
        state=_among(said.state, STATES, "state") or state_habit(point, kind, warm=there.warm),
        meter=_meter(said, kind, there),
        to=_end(said.to, said, there) or to,
        red_on=_end(said.red_on, said, there) or red_on,
        removed=_removed(said, there),
        settled=not said.unsettled,
        range=parse_quantity(as_written(said.range, kind), kind) if said.range else None,
        four_wire=said.four_wire,
        note=said.note,
    )


def _pairs(words: list[str], points: set[str]) -> Iterator[Pair]:
    at = 0
    while at < len(words):
        point = words[at]
        if looks_like_value(point) and point.casefold() not in points:
            raise TypedError(f'"{point}" is in the place of a point', "type point and value alternately")
        if at + 1 == len(words):
            raise TypedError(f"{point} has no value", "type the value after the point")
        value = words[at + 1]
        if not looks_like_value(value):
            raise TypedError(
                f'{point}: "{value}" is not a value', "type point and value alternately, as in vmem 23.4"
            )
        at += 2
        if at < len(words) and is_unit(words[at]) and words[at].casefold() not in points:
            value = f"{value} {words[at]}"
            at += 1
        yield Pair(point, value)


def _point(word: str, said: Said, there: Situation) -> str:
    names, design = points_of(there), there.design
    if design and design.points:
        return _named(word, names, f"point of {design.name}", said)
    plain = word.upper() if word.islower() and word.isalnum() and word.isascii() else word
    return next((name for name in names if name.casefold() == word.casefold()), plain)


def _named(word: str, known: Sequence[str], what: str, said: Said) -> str:
    try:
        return named(word, known, what)
    except UnknownNameError as unknown:
        if said.as_is:
            return word
        mend = f"{unknown.mend}, or use --as-is if the name is right"
        raise UnknownNameError(unknown.message, mend) from None


def _kind(value: str, said: Said, point: Point, there: Situation, others: tuple[str, ...]) -> str:
    if said.kind is not None:
        return named(said.kind, KINDS, "kind of reading")
    cold = said.state == "cold" or not is_under_power(there.job, there.now)
    return kind_habit(point, kinds_told(value), cold=cold and said.state != "powered", others=others)


def _among(word: str | None, words: tuple[str, ...], what: str) -> str | None:
    return None if word is None else named(word, words, what)


def _meter(said: Said, kind: str, there: Situation) -> str | None:
    if said.meter is not None:
        return _named(said.meter, tuple(there.bench.meters), "meter of meters.toml", said)
    return meter_habit(there.job, kind, there.meters.get(kind), there.bench.meters)


def _end(word: str | None, said: Said, there: Situation) -> str | None:
    """Read the other end of a measurement, or where the red lead is."""
    design = there.design
    if word is None or design is None or not design.points:
        return word
    rails = (rail.name for rail in design.rails if rail.name)
    known = (*points_of(there), *rails, *sorted(design.all_parts()), GROUND)
    return _named(word, known, f"point or part of {design.name}", said)


def _removed(said: Said, there: Situation) -> tuple[str, ...]:
    if not said.removed:
        return off_the_board(there.job)
    if said.removed == ("none",):
        return ()
    parts = sorted(there.design.all_parts()) if there.design else []
    what = f"part of {there.design.name}" if there.design else ""
    return tuple(_named(word, parts, what, said) if parts else word for word in said.removed)
