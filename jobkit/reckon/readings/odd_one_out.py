"""The odd one out among readings that should agree one by one: gates, drivers, sense lines.

Readings are compared with each other only where they were taken in one manner, at one stage of the job. What their
errors have in common then cancels: on one range of one meter the offset, the gain and the leads are the same in all of
them, and only the last digit is left to tell them apart (JCGM 100:2008, 5.2, on correlated inputs). Where meters or
ranges differ nothing is known to cancel, and the largest standard uncertainty takes the place of the digit.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.jobs.manner import manner
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.meters import (
    CorrectedReading,
    correct_lead,
    correct_reading,
    method_of,
    same_display,
    value_words,
)
from jobkit.reckon.statistics.outliers import ODD, grubbs, modified_z
from jobkit.reckon.statistics.quantile import median
from jobkit.units.quantity import Quantity, plain

FEWEST = 3
"""Readings below which none can be called odd: of two that differ, either may be."""

ENOUGH = 6
"""Readings from which Grubbs' test is asked too. With fewer its critical value is within 5 % of the largest that can
occur at all, (n − 1) / √n, so that its silence says nothing (computed from the formula of NIST/SEMATECH 1.3.5.17.1)."""


STAGES = ("arrival", "work", "proof")

ALIKE_ANYWAY = "Rails joined through coils read the same whatever is broken, so agreement proves nothing"
"""What goes with every comparison of this sort (common practice, no source)."""


class Odd(NamedTuple):
    """A reading unlike the rest.

    `score` is its robust z-score, None where it is open or the rest are; `grubbs` whether Grubbs' test agrees, None
    where there are too few readings for it.
    """

    reading: Reading
    corrected: CorrectedReading
    score: float | None
    grubbs: bool | None = None


class ReadingGroup(NamedTuple):
    """Readings that should agree: their shared name, the stage, and how many there are.

    `median` is theirs, None where most are open; `one_display` where all come from one range of one meter; `odd`
    are those unlike the rest, in the order of the file. `least` is the least difference that was taken to tell them
    apart, in the base unit; 0 where no meter says how far its readings can be trusted.
    """

    name: str
    stage: str
    n: int
    median: Quantity | None
    one_display: bool
    odd: tuple[Odd, ...]
    least: Decimal = Decimal(0)


class _Member(NamedTuple):
    reading: Reading
    corrected: CorrectedReading


def reading_groups(
    job: Job, bench: Bench, design: Design | None, stages: Container[str] = STAGES
) -> tuple[ReadingGroup, ...]:
    """Compare the readings of a job that should agree, group by group; groups below three are left out."""
    groups: dict[tuple[str, str, object], dict[str, Reading]] = {}
    for reading in job.readings:
        stage = reading.stage or "work"
        name = stage in stages and (reading.group or _group_of(reading.point, design))
        if name and reading.value is not None and reading.point:
            # A later reading takes the place of an earlier.
            _, *how = manner(reading)
            groups.setdefault((name, stage, (*how,)), {})[reading.point] = reading
    return tuple(
        _compared(name, stage, _members(list(group.values()), bench))
        for (name, stage, _), group in groups.items()
        if len(group) >= FEWEST
    )


def _members(readings: list[Reading], bench: Bench) -> list[_Member]:
    """See readings through their meters, with standard uncertainties (k = 1) only where these will be needed."""
    plainly = [_Member(one, correct_lead(_shown(one), method_of(one), bench.meters)) for one in readings]
    if same_display(_corrected(plainly)):
        return plainly
    return [
        _Member(one, correct_reading(_shown(one), method_of(one), bench.meters, Decimal(1)))
        for one in readings
    ]


def _shown(reading: Reading) -> Quantity:
    assert reading.shown is not None
    return reading.shown


def odd_in_words(odd: Odd, group: ReadingGroup) -> str:
    """Say why a reading is the odd one out."""
    reading = f"{odd.reading.point}, {value_words(odd.corrected)}"
    who = f'{reading}, is the odd one out of {group.n} readings of "{group.name}"'
    rest = "most are open" if group.median is None else f"the median is {group.median.text}"
    score = "" if odd.score is None else f", robust z {odd.score:.1f}".replace("-", "−")
    test = (
        ""
        if odd.grubbs is None
        else ", Grubbs' test agrees"
        if odd.grubbs
        else ", Grubbs' test does not confirm it"
    )
    return f"{who}: {rest}{score}{test}{_allowed_for(odd, group)}"


def _allowed_for(odd: Odd, group: ReadingGroup) -> str:
    """Say which uncertainty a score allows for, where the readings are not all from one range of one meter."""
    if odd.score is None or group.one_display:
        return ""
    if not group.least:
        return "; how far these readings can be trusted is not known, so no uncertainty was allowed for"
    return "; not all from one range of one meter, so the largest uncertainty among them was allowed for"


def least_difference(readings: Sequence[CorrectedReading]) -> Decimal:
    """Give the least difference, in the base unit, that tells values apart which were taken with k = 1.

    The last digit where all come from one range of one meter; else the largest standard uncertainty that is known.
    """
    if same_display(readings):
        accuracy = readings[0].range.accuracy if readings[0].range else None
        return accuracy.step.value if accuracy else Decimal(0)
    return max(
        (corrected.uncertainty.value for corrected in readings if corrected.uncertainty),
        default=Decimal(0),
    )


def _compared(name: str, stage: str, members: list[_Member]) -> ReadingGroup:
    closed = [member for member in members if not member.corrected.value.open]
    opened = [member for member in members if member.corrected.value.open]
    if len(opened) > len(closed):
        odd = tuple(Odd(*member, score=None) for member in closed)
        return ReadingGroup(name, stage, len(members), None, same_display(_corrected(members)), odd)
    values = [member.corrected.value.value for member in closed]
    least = least_difference(_corrected(closed))
    found = [*_odd(closed, values, least)]
    if len(opened) < len(closed):
        found += (Odd(*member, score=None) for member in opened)
    order = [member.reading for member in members]
    odd = tuple(sorted(found, key=lambda one: order.index(one.reading)))
    middle = plain(median(values), closed[0].corrected.value.unit)
    return ReadingGroup(name, stage, len(members), middle, same_display(_corrected(closed)), odd, least)


def _odd(closed: list[_Member], values: list[Decimal], least: Decimal) -> Iterator[Odd]:
    if len(closed) < FEWEST:
        return
    scores = modified_z(values, least)
    is_one_odd = any(abs(score) > ODD for score in scores)
    test = grubbs(values) if is_one_odd and len(values) >= ENOUGH else None
    for place, (member, score) in enumerate(zip(closed, scores, strict=True)):
        if abs(score) > ODD:
            yield Odd(*member, score, None if test is None else test.odd and test.place == place)


def _corrected(members: list[_Member]) -> list[CorrectedReading]:
    return [member.corrected for member in members]


def _group_of(point: str | None, design: Design | None) -> str | None:
    known = design.point(point) if design else None
    return known.group if known else None
