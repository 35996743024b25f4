"""The boards of a design that were good when they were last measured, and what they read.

Good is the last proof reading of each finished job that was repaired or found without fault, unless its board came back
with the same fault; and that of a board booked in as known good, finished or not. Readings are kept apart by manner:
point, kind, other end, red lead, state, packages removed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal

from jobkit.jobs.facts import Facts, ProofRow
from jobkit.jobs.manner import Manner
from jobkit.jobs.meter import Meter
from jobkit.jobs.serial import is_same_serial
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.meters import CorrectedReading, Method, correct_reading, method_of_proof
from jobkit.units.kinds import KINDS
from jobkit.units.quantity import parse_quantity

GOOD_OUTCOMES = ("repaired", "no-fault-found")


class Good(NamedTuple):
    """One reading of a good board: its job, the board's serial, the day, and the value as taken, with k = 1."""

    job: str
    serial: str
    day: str
    corrected: CorrectedReading
    settled: bool


class LeftOut(NamedTuple):
    """A job of the design with proof readings that do not count, and why."""

    job: str
    why: str


def good_jobs(
    design: str, facts: Iterable[Facts], came_back: Mapping[str, str] | None = None
) -> tuple[tuple[Facts, ...], tuple[LeftOut, ...]]:
    """Part the jobs of a design that have proof readings into those that count and those that do not.

    `came_back` is what `same_fault` says of the whole book, where `facts` are not all of it.
    """
    everything = tuple(facts)
    back = same_fault(everything) if came_back is None else came_back
    counted, left_out = [], []
    for one in everything:
        if one.design == design and one.proof:
            why = _why_not(one, back)
            if why:
                left_out.append(LeftOut(one.id, why))
            else:
                counted.append(one)
    return tuple(counted), tuple(left_out)


def same_fault(facts: Iterable[Facts]) -> dict[str, str]:
    """Name the jobs whose board came back with the same fault, each with the job as which it did."""
    return {
        one.comeback_of: one.id for one in facts if one.comeback_of and one.comeback_found == "same-fault"
    }


def readings_by_manner(
    jobs: Iterable[Facts], meters: Mapping[str, Meter], wanted: Collection[Manner] | None = None
) -> dict[Manner, list[Good]]:
    """Gather the proof readings of good jobs, each `wanted` manner for itself, in the order of the jobs."""
    gathered: dict[Manner, list[Good]] = {}
    seen: dict[tuple[str, Method], CorrectedReading] = {}
    points = {manner.point for manner in wanted or ()}
    for one in jobs:
        for proved in one.proof:
            if wanted is not None and proved.point not in points:
                continue
            manner = manner_proved(proved)
            if is_reading(proved) and (wanted is None or manner in wanted):
                good = Good(one.id, one.serial, proved.day, _corrected(proved, meters, seen), proved.settled)
                gathered.setdefault(manner, []).append(good)
    return gathered


def _corrected(
    proved: ProofRow, meters: Mapping[str, Meter], seen: dict[tuple[str, Method], CorrectedReading]
) -> CorrectedReading:
    """See a value through its meter; good boards read alike, so many a one has been seen before."""
    how = method_of_proof(proved)
    known = seen.get((proved.value, how))
    if known is None:
        shown = parse_quantity(proved.value, proved.kind)
        known = seen[proved.value, how] = correct_reading(shown, how, meters, Decimal(1))
    return known


def is_reading(proved: ProofRow) -> bool:
    """Tell whether point, kind and value of a proof reading could all be read."""
    return bool(proved.point and proved.kind in KINDS and proved.value)


def same_board(one: Facts, other: Facts) -> bool:
    """Tell whether two jobs are one, or stays of one board."""
    return one.id == other.id or is_same_serial(one.serial, other.serial)


def manner_proved(proved: ProofRow) -> Manner:
    """Tell in which manner a proof reading was taken."""
    return Manner(proved.point, proved.kind, proved.to, proved.red_on, proved.state, tuple(proved.removed))


def _why_not(one: Facts, came_back: Mapping[str, str]) -> str:
    if one.id in came_back:
        return f"came back as {came_back[one.id]} with the same fault"
    if one.known_good and one.outcome != "beyond-repair":
        return ""
    if not one.finished:
        return "not finished"
    return "" if one.outcome in GOOD_OUTCOMES else one.outcome or "no outcome"
