"""What good boards of a design read, counted: thousands of boards read a few hundred different values.

A tally is plain data, so that it can be kept, and what some jobs add to it can be taken out again.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from jobkit.jobs.design import Design
from jobkit.jobs.facts import Facts
from jobkit.jobs.manner import Manner
from jobkit.jobs.meter import Meter
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.good_boards import Good, is_reading, manner_proved
from jobkit.reckon.readings.meters import Method, correct_reading, method_of_proof
from jobkit.reckon.readings.usual import Usual, side_of, usual
from jobkit.units.quantity import parse_quantity


class Shown(NamedTuple):
    """A value as a display showed it, how it was taken, and whether it had settled."""

    value: str
    method: Method
    settled: bool


class Tally:
    """How many good boards read which value, by manner."""

    def __init__(self) -> None:
        """Count nothing yet."""
        self._counts: dict[Manner, Counter[Shown]] = defaultdict(Counter)

    def add(self, jobs: Iterable[Facts]) -> None:
        """Count the proof readings of good jobs."""
        for manner, shown in readings_shown(jobs):
            self._counts[manner][shown] += 1

    def take_out(self, jobs: Iterable[Facts]) -> None:
        """Take the proof readings of jobs that were counted out again."""
        for manner, shown in readings_shown(jobs):
            self._counts[manner][shown] -= 1

    def usual(
        self,
        manner: Manner,
        meters: Mapping[str, Meter],
        design: Design | None,
        without: Mapping[Shown, int] = MappingProxyType({}),
    ) -> Usual | None:
        """Say what is usual in a manner on a design, naming no job; None where no board was read so.

        `without` are readings to be left out, and how many of each.
        """
        readings: list[Good] = []
        for shown, count in self._counts[manner].items() if manner in self._counts else ():
            value = parse_quantity(shown.value, manner.kind)
            corrected = correct_reading(value, shown.method, meters, Decimal(1))
            readings += [Good("", "", "", corrected, shown.settled)] * (count - without.get(shown, 0))
        row = usual(manner, readings, side=side_of(manner, design))
        return row if row.n or row.open else None

    def as_data(self) -> list[Any]:
        """Give the counts as plain data."""
        return [
            [*manner, [[shown.value, *shown.method, shown.settled, count] for shown, count in counts.items()]]
            for manner, counts in self._counts.items()
        ]

    @classmethod
    def from_data(cls, data: list[Any]) -> Tally:
        """Read counts back."""
        tally = cls()
        for *manner, removed, rows in data:
            counts = tally._counts[Manner._make((*manner, tuple(removed)))]
            for value, *method, settled, count in rows:
                counts[Shown(value, Method(*method), settled)] = count
        return tally


def readings_shown(jobs: Iterable[Facts]) -> Iterable[tuple[Manner, Shown]]:
    """Yield each proof reading of jobs with its manner."""
    for one in jobs:
        for proved in one.proof:
            if is_reading(proved):
                yield manner_proved(proved), Shown(proved.value, method_of_proof(proved), proved.settled)
