"""What is known of a board design: rails, points, memory, causes and checks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import cached_property

from jobkit.jobs.ball_array import BallArray
from jobkit.jobs.finding import Place
from jobkit.named_tuple import NamedTuple
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity


class Rail(NamedTuple):
    """A supply rail, its nominal voltage and the parts it feeds."""

    path: Place
    name: str | None = None
    nominal: Quantity | None = None
    feeds: tuple[str, ...] = ()
    core: bool = False
    made_from: str | None = None
    through: tuple[str, ...] = ()
    note: str | None = None


class PointLimit(NamedTuple):
    """The limit for one manner of reading at a point."""

    path: Place
    kind: str | None = None
    state: str | None = None
    to: str | None = None
    red_on: str | None = None
    removed: tuple[str, ...] = ()
    limit: Limit | None = None
    decision: str | None = None
    note: str | None = None


class Point(NamedTuple):
    """A named place to measure."""

    path: Place
    name: str | None = None
    where: str | None = None
    rail: str | None = None
    group: str | None = None
    limits: tuple[PointLimit, ...] = ()
    note: str | None = None


class Package(NamedTuple):
    """A package worth knowing: what replaces it, and what heat and moisture it bears.

    `body_mm` is how thick its body is, `body_mm3` its volume, `classified` the temperature of its own rating,
    `cycles_before` how often the factory is assumed to have heated it above liquidus.
    """

    path: Place
    part: str | None = None
    what: str | None = None
    place: str | None = None
    item: str | None = None
    moisture: str | None = None
    body_mm: Decimal | None = None
    body_mm3: Decimal | None = None
    classified: Quantity | None = None
    array: BallArray | None = None
    note: str | None = None
    cycles_before: Decimal | None = None


class Memory(NamedTuple):
    """A memory package, the channels it serves and where it sits round the processor.

    `balls` names, by channel, the ball of each data line in the order of the lines.
    """

    path: Place
    part: str | None = None
    channels: tuple[str, ...] = ()
    place: str | None = None
    balls: tuple[tuple[str, tuple[str, ...]], ...] = ()
    note: str | None = None


class PossibleCause(NamedTuple):
    """A possible cause, its weight, and the checks it affects with which probability.

    The weight contains the bench's own finished jobs up to the day it was `learned`.
    """

    path: Place
    name: str | None = None
    part: str | None = None
    weight: Decimal = Decimal(1)
    affects: tuple[tuple[str, Decimal], ...] = ()
    note: str | None = None
    learned: date | None = None


class Check(NamedTuple):
    """A test that can be made on boards of a design, or of a kind; `how` are its steps, or the command that runs it."""

    path: Place
    name: str | None = None
    minutes: Decimal | None = None
    state: str | None = None
    covers: tuple[str, ...] = ()
    note: str | None = None
    how: str | None = None


class _BoardFile(NamedTuple):
    """What a board file says; `Design` adds what is asked of it."""

    path: str
    name: str
    kind: str | None = None
    rails: tuple[Rail, ...] = ()
    points: tuple[Point, ...] = ()
    memory: tuple[Memory, ...] = ()
    causes: tuple[PossibleCause, ...] = ()
    checks: tuple[Check, ...] = ()
    parts: tuple[str, ...] = ()
    processor: str | None = None
    what: str | None = None
    packages: tuple[Package, ...] = ()
    unread: bool = False


class Design(_BoardFile):
    """One board file; many boards share a design.

    Jobs find it by the name of the file. One that is `unread` is there, and could not be read at all.
    """

    # Every job asks, and no design changes, so each answer is worked out once and kept with the design.

    @cached_property
    def _every_part(self) -> frozenset[str]:
        parts = {self.processor, *self.parts}
        parts.update(one.part for one in self.packages)
        parts.update(one.part for one in self.memory)
        parts.update(one.part for one in self.causes)
        parts.update(part for rail in self.rails for part in (*rail.feeds, *rail.through))
        return frozenset(part for part in parts if part)

    @cached_property
    def _every_channel(self) -> tuple[str, ...]:
        return tuple(channel for package in self.memory for channel in package.channels)

    @cached_property
    def _points(self) -> Mapping[str | None, Point]:
        return {point.name: point for point in reversed(self.points)}  # the first of a name stays

    @cached_property
    def _limits(self) -> Mapping[tuple[str | None, str | None], tuple[PointLimit, ...]]:
        return {
            (point.name, kind): tuple(limit for limit in point.limits if limit.kind == kind)
            for point in self._points.values()
            for kind in {limit.kind for limit in point.limits}
        }

    @cached_property
    def _arrays(self) -> Mapping[str | None, BallArray]:
        return {
            package.part: package.array
            for package in self.packages
            if package.array and package.array.row_names
        }

    @cached_property
    def _packages(self) -> Mapping[str | None, Package]:
        return {package.part: package for package in reversed(self.packages)}  # the first of a name stays

    @cached_property
    def _data_balls(self) -> Mapping[str | None, frozenset[str]]:
        return {
            package.part: frozenset(ball.upper() for _, balls in package.balls for ball in balls)
            for package in self.memory
        }

    @cached_property
    def point_names(self) -> frozenset[str]:
        """The names of its points."""
        return frozenset(point.name for point in self.points if point.name)

    @cached_property
    def rail_names(self) -> frozenset[str]:
        """The names of its rails."""
        return frozenset(rail.name for rail in self.rails if rail.name)

    @cached_property
    def channel_names(self) -> frozenset[str]:
        """The channels of its memory."""
        return frozenset(self.channels())

    @cached_property
    def check_names(self) -> frozenset[str]:
        """The names of the checks that can be made on it."""
        return frozenset(check.name for check in self.checks if check.name)

    @cached_property
    def _rails(self) -> Mapping[str | None, Rail]:
        return {rail.name: rail for rail in reversed(self.rails)}  # the first of a name stays

    def array_of(self, part: str | None) -> BallArray | None:
        """Return the array of a package's balls; None where the board file does not give it."""
        return self._arrays.get(part)

    def package(self, part: str | None) -> Package | None:
        """Find a package by the name of its part."""
        return self._packages.get(part)

    def has_balls(self, part: str | None) -> bool:
        """Tell whether a part is certainly a package with an array of balls: a memory package, or the processor."""
        return part is not None and (part == self.processor or part in self._data_balls)

    def data_balls(self, part: str | None) -> frozenset[str]:
        """Name the balls of a memory package that the board file maps to data lines, in capitals."""
        return self._data_balls.get(part, frozenset())

    def all_parts(self) -> frozenset[str]:
        """Name every part that the board file knows of, wherever in it."""
        return self._every_part

    def channels(self) -> tuple[str, ...]:
        """Name the channels of the memory in the order of the board file."""
        return self._every_channel

    def point(self, name: str | None) -> Point | None:
        """Find a point by its name."""
        return self._points.get(name)

    def limits(self, point: str | None, kind: str | None) -> tuple[PointLimit, ...]:
        """Give the limits of a point for one kind of reading, in the order of the board file."""
        return self._limits.get((point, kind), ())

    def rail(self, name: str | None) -> Rail | None:
        """Find a rail by its name."""
        return self._rails.get(name)
