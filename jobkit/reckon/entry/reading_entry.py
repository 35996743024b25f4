"""From what is typed to a reading: point and value in turn, the rest by default unless it is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.jobs.naming import UnknownNameError, named
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.entry.defaults import (
    STAGES,
    STATES,
    default_kind,
    default_leads,
    default_meter,
    default_stage,
    default_state,
    is_under_power,
    off_the_board,
    warm_until,
)
from jobkit.units.errors import MisuseError
from jobkit.units.kinds import KINDS
from jobkit.units.limit import parse_limit, usual_limit_spelling
from jobkit.units.quantity import Quantity, parse_quantity
from jobkit.units.typed import as_written, is_unit, kinds_told, looks_like_value

GROUND = "ground"


class TypedError(MisuseError):
    """Words that are not points and values in turn."""


class Pair(NamedTuple):
    """A point and its value, as typed."""

    point: str
    value: str


class Overrides(NamedTuple):
    """What you say of readings; None and () follow the defaults. `removed` of ("none",) is none at all.

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
    again: tuple[str, ...] = ()


class BenchContext(NamedTuple):
    """Who takes readings of which job, and when; `meters` are those used last, by kind; `proving` as in defaults."""

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
        return self.warm_until is not None

    @property
    def warm_until(self) -> datetime | None:
        """When the board will have cooled down after heat; None where it has."""
        until = warm_until(self.job, self.bench.settings.cooling_minutes)
        return until if until is not None and self.now < until else None


def pairs(words: Sequence[str], points: Sequence[str]) -> tuple[Pair, ...]:
    """Part what is typed into points and values; a unit may stand apart from its number. Raises TypedError.

    >>> pairs(["vmem", "23.4", "ohm", "v12", "3k2"], ["VMEM", "V12"])
    (Pair(point='vmem', value='23.4 ohm'), Pair(point='v12', value='3k2'))
    """
    return tuple(_pairs(list(words), {point.casefold() for point in points}))


def points_of(context: BenchContext) -> tuple[str, ...]:
    """Name the points a reading may be taken at: the board file's, else those the bench and the job know of."""
    design = context.design
    if design and design.points:
        return tuple(point.name for point in design.points if point.name)
    policy = context.bench.settings.proof_for(context.job.board.kind, context.job.outcome)
    read = (reading.point for reading in context.job.readings if reading.point)
    return tuple(dict.fromkeys((*(policy.cold_resistance if policy else ()), *read)))


def make_readings(typed: Sequence[Pair], overrides: Overrides, context: BenchContext) -> list[Reading]:
    """Make readings of the points and values of one call; a bare number goes with the units of the others."""
    if overrides.again and len(typed) > 1:
        raise TypedError("--again takes the readings of one point", "read the points one by one")
    told = tuple(dict.fromkeys(kind for pair in typed for kind in kinds_told(pair.value)))
    return [make_reading(pair, overrides, context, told) for pair in typed]


def make_reading(
    pair: Pair, overrides: Overrides, context: BenchContext, others: tuple[str, ...] = ()
) -> Reading:
    """Make a reading of a point and a value; raises MisuseError where they cannot be one, or leave it open."""
    name = _point(pair.point, overrides, context)
    point = context.design.point(name) if context.design else None
    kind = _kind(pair.value, overrides, point or Point((), name), context, others)
    value = parse_quantity(as_written(pair.value, kind), kind)
    to, red_on = default_leads(point, kind)
    limit = parse_limit(usual_limit_spelling(overrides.limit, kind), kind) if overrides.limit else None
    return Reading(
        path=(),
        at=context.now,
        by=context.by,
        stage=_among(overrides.stage, STAGES, "stage") or default_stage(context.job, proving=context.proving),
        point=name,
        kind=kind,
        value=value,
        limit=limit,
        state=_among(overrides.state, STATES, "state") or default_state(point, kind, warm=context.warm),
        meter=_meter(overrides, kind, context),
        to=_end(overrides.to, overrides, context) or to,
        red_on=_end(overrides.red_on, overrides, context) or red_on,
        removed=_removed(overrides, context),
        settled=not overrides.unsettled,
        range=parse_quantity(as_written(overrides.range, kind), kind) if overrides.range else None,
        four_wire=overrides.four_wire,
        note=overrides.note,
        again=_again(overrides.again, value, kind),
    )


def _again(words: Sequence[str], value: Quantity, kind: str) -> tuple[Quantity, ...]:
    """Read what the display showed when it was taken again; an open reading has no mean with others."""
    again = tuple(parse_quantity(as_written(word, kind), kind) for word in words)
    if again and any(one.open for one in (value, *again)):
        raise TypedError("an open reading has no mean with others", "write it as a reading of its own")
    return again


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


def _point(word: str, overrides: Overrides, context: BenchContext) -> str:
    names, design = points_of(context), context.design
    if design and design.points:
        return _named(word, names, f"point of {design.name}", overrides)
    plain = word.upper() if word.islower() and word.isalnum() and word.isascii() else word
    return next((name for name in names if name.casefold() == word.casefold()), plain)


def _named(word: str, known: Sequence[str], what: str, overrides: Overrides) -> str:
    try:
        return named(word, known, what)
    except UnknownNameError as unknown:
        if overrides.as_is:
            return word
        mend = f"{unknown.mend}, or use --as-is if the name is right"
        raise UnknownNameError(unknown.message, mend) from None


def _kind(
    value: str, overrides: Overrides, point: Point, context: BenchContext, others: tuple[str, ...]
) -> str:
    if overrides.kind is not None:
        return named(overrides.kind, KINDS, "kind of reading")
    cold = overrides.state == "cold" or not is_under_power(context.job, context.now)
    return default_kind(point, kinds_told(value), cold=cold and overrides.state != "powered", others=others)


def _among(word: str | None, words: tuple[str, ...], what: str) -> str | None:
    return None if word is None else named(word, words, what)


def _meter(overrides: Overrides, kind: str, context: BenchContext) -> str | None:
    if overrides.meter is not None:
        return _named(overrides.meter, tuple(context.bench.meters), "meter of meters.toml", overrides)
    return default_meter(context.job, kind, context.meters.get(kind), context.bench.meters)


def _end(word: str | None, overrides: Overrides, context: BenchContext) -> str | None:
    """Read the other end of a measurement, or where the red lead is."""
    design = context.design
    if word is None or design is None or not design.points:
        return word
    rails = (rail.name for rail in design.rails if rail.name)
    known = (*points_of(context), *rails, *sorted(design.all_parts()), GROUND)
    return _named(word, known, f"point or part of {design.name}", overrides)


def _removed(overrides: Overrides, context: BenchContext) -> tuple[str, ...]:
    if not overrides.removed:
        return off_the_board(context.job)
    if overrides.removed == ("none",):
        return ()
    parts = sorted(context.design.all_parts()) if context.design else []
    what = f"part of {context.design.name}" if context.design else ""
    return tuple(_named(word, parts, what, overrides) if parts else word for word in overrides.removed)
