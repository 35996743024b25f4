"""A heating as its log shows it: each thermocouple, where it sat, its figures, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from statistics import median

from jobkit.jobs.heat_log import HeatLog
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.figures import Ramp, peak_of, steepest
from jobkit.reckon.heat.probe import BODY, JOINT, Probe, probe_at
from jobkit.reckon.heat.temperatures import Temperatures, cleaned
from jobkit.units.phrase import phrase

_MOVED, _STILL = 50.0, 3.0
"""A log shows a heating where a thermocouple rises by 50 °C; one that then moves by less than 3 °C never moved."""

_SWAPPED, _REVERSED = 5.0, 5.0
_LOOKED_AT = 10_000


class Measured(NamedTuple):
    """One thermocouple: the figures of its readings in °C, s and °C/s, before anyone knows where it sat.

    Without `readings` its column could not be used, and `fault` says why; beside them `fault` says why they cannot be
    trusted.
    """

    column: str
    readings: Temperatures | None
    peak: float = 0.0
    peak_at: float = 0.0
    up: Ramp | None = None
    down: Ramp | None = None
    fault: str = ""

    @property
    def notes(self) -> tuple[str, ...]:
        """What was left out of its readings."""
        return self.readings.notes if self.readings else ()


class Heating(NamedTuple):
    """A log of a heating: how many rows, over how many seconds, how far apart, and its thermocouples."""

    rows: int
    seconds: float
    interval: float
    columns: tuple[Measured, ...]
    notes: tuple[str, ...] = ()
    begun: datetime | None = None


class Placed(NamedTuple):
    """A thermocouple and where it sat."""

    probe: Probe
    measured: Measured

    @property
    def readings(self) -> Temperatures | None:
        """Its readings; None where its column could not be used."""
        return self.measured.readings


def heating_of(log: HeatLog, window: float) -> Heating:
    """Describe a log; ramps are measured over `window` seconds."""
    interval = _interval(log.times)
    columns = [_measured(one.name, one.refused, log, one.values, interval, window) for one in log.columns]
    return Heating(
        len(log.times),
        log.times[-1] - log.times[0],
        interval,
        tuple(_beside_each_other(columns)),
        log.notes,
        log.begun,
    )


def placed(heating: Heating, places: Mapping[str, str], part: str) -> tuple[Placed, ...]:
    """Tell where each thermocouple sat, and mark those that seem to have been swapped.

    `places` are the words for each column, `part` is the part that the heating was for.
    """
    by_name = {_alike(name): text for name, text in places.items()}
    found = [
        Placed(probe_at(one.column, by_name.get(_alike(one.column), ""), part), one)
        for one in heating.columns
    ]
    return tuple(one._replace(measured=_swapped(one, found)) for one in found)


def not_in_the_log(heating: Heating, places: Iterable[str]) -> tuple[str, ...]:
    """Name the columns that `probe` has and the log has not."""
    there = {_alike(one.column) for one in heating.columns}
    return tuple(name for name in places if _alike(name) not in there)


def _alike(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").split())


def _interval(times: Sequence[float]) -> float:
    """Tell how far rows are apart as a rule: the median of the first ten thousand steps."""
    return median(later - earlier for earlier, later in pairwise(times[:_LOOKED_AT]))


def _measured(
    name: str, refused: str, log: HeatLog, values: Sequence[float], interval: float, window: float
) -> Measured:
    if refused:
        return Measured(name, None, fault=refused)
    readings = cleaned(log.times, values, interval)
    if isinstance(readings, str):
        return Measured(name, None, fault=readings)
    return Measured(name, readings, *peak_of(readings), *steepest(readings, window), readings.fault)


def _beside_each_other(columns: Sequence[Measured]) -> Iterable[Measured]:
    """Find the thermocouples that never moved, or moved the wrong way, while others show a heating."""
    sound = [one for one in columns if one.readings and not one.fault]
    hottest = max(sound, key=lambda one: one.peak, default=None)
    for one in columns:
        readings = one.readings
        if readings is None or one.fault or hottest is None or hottest.readings is None:
            yield one
        elif hottest.peak - min(hottest.readings.values) < _MOVED:
            yield one._replace(fault=phrase("the log shows no heating"))
        elif one.peak - min(readings.values) < _STILL:
            yield one._replace(fault=phrase("it never moves while the others rise"))
        elif readings.at(hottest.peak_at) < readings.values[0] - _REVERSED:
            yield one._replace(fault=phrase("it falls while the others rise: its two leads are reversed"))
        else:
            yield one


def _swapped(one: Placed, all_of_them: Sequence[Placed]) -> Measured:
    """Mark a joint that is hotter than the top of its own package, and that top: heat comes from above."""
    if one.measured.fault or not one.probe.part or one.probe.where not in {JOINT, BODY}:
        return one.measured
    other = BODY if one.probe.where == JOINT else JOINT
    beside = [
        two
        for two in all_of_them
        if two.probe.part == one.probe.part and two.probe.where == other and not two.measured.fault
    ]
    for two in beside:
        joint, top = (one, two) if one.probe.where == JOINT else (two, one)
        over = joint.measured.peak - top.measured.peak
        if over > _SWAPPED:
            fault = phrase(
                "the joint is {over} °C hotter than the body above it: {joint} and {top} may be swapped",
                over=f"{over:.0f}",
                joint=joint.probe.column,
                top=top.probe.column,
            )
            return one.measured._replace(fault=fault)
    return one.measured
