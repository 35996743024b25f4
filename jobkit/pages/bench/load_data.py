"""The log of a loaded run as data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.usual_load import against_load_data
from jobkit.pages.forms.data import Data, measured, number
from jobkit.pages.forms.load_figures import figure
from jobkit.reckon.load_run.check import Check, worst_of
from jobkit.reckon.load_run.courses import Course
from jobkit.reckon.load_run.run import Run, SensorRun
from jobkit.reckon.load_run.usual_under_load import AgainstUsual
from jobkit.reckon.statistics.series import exactly
from jobkit.units.quantity import Quantity


class LoadView(NamedTuple):
    """A run and what it was checked against.

    `source` says where the limits come from, "" for none; `room` is the temperature of the room, where it is known;
    `per_watt` is in °C/W by sensor; `courses` are the values of each sensor over time in a few figures, `drawn` all of
    them; `against` compares the run with good boards of its `design`.
    """

    name: str
    run: Run
    checks: tuple[Check, ...] = ()
    source: str = ""
    room: Quantity | None = None
    per_watt: Mapping[str, Decimal] = {}
    courses: Mapping[str, tuple[float | None, ...]] = {}
    design: str = ""
    against: Sequence[AgainstUsual] = ()
    drawn: Sequence[Course] = ()


def load_data(view: LoadView) -> Data:
    """Give a run as data; the verdict is null where there are no limits, or one could not be checked."""
    run, loaded = view.run, view.run.loaded
    return {
        "verdict": worst_of(view.checks) or None,
        "checks": [check_data(check) for check in view.checks],
        "sensors": sensors_data(view),
        "log": view.name,
        "limits_from": view.source or None,
        "rows": run.rows,
        "interval_s": run.interval,
        "minutes": float(exactly(run.minutes, 4)),
        "loaded": {
            "from_s": loaded.start,
            "to_s": loaded.end,
            "by_power": loaded.by_power,
            "runs": loaded.stretches,
            "longest_gap_s": loaded.hole,
        },
        "room": measured(view.room),
        "fan": run.fan or None,
        "notes": list(run.notes),
        "compared_with_usual": against_load_data(view.against),
    }


def check_data(check: Check) -> Data:
    """Give one check."""
    verdict = check.verdict
    return {
        "name": check.name,
        "place": check.figure or None,
        "value": measured(check.value),
        "limit": check.limit.text if check.limit else None,
        "verdict": check.word or None,
        "uncertainty": measured(verdict.uncertainty) if verdict else None,
        "margin": measured(verdict.margin) if verdict else None,
        "why": check.why or None,
    }


def sensors_data(view: LoadView) -> Data:
    """Give what each sensor showed, by its name."""
    return {
        sensor.name: {
            **_sensor_data(sensor),
            "per_watt": number(view.per_watt[sensor.name]) if sensor.name in view.per_watt else None,
        }
        for sensor in view.run.sensors
    }


def _sensor_data(sensor: SensorRun) -> Data:
    settling, curve, dips = sensor.settling, sensor.first_order, sensor.dips
    return {
        "measures": sensor.measures or None,
        "settled": _figure(sensor.settled, sensor.unit),
        "hottest": _figure(sensor.highest, sensor.unit) if sensor.measures == "temperature" else None,
        "drift_per_hour": _figure(settling.drift, sensor.unit) if settling else None,
        "time_constant_s": sensor.time_constant,
        "state": settling.state if settling else None,
        "drift_interval": settling.drift_95 if settling else None,
        "mean_at_the_end": _figure(settling.mean, sensor.unit) if settling else None,
        "lowest": _figure(sensor.lowest, sensor.unit),
        "highest": _figure(sensor.highest, sensor.unit),
        "highest_at_s": sensor.highest_at,
        "time_constant_interval_s": curve.tau_95 if curve and sensor.time_constant else None,
        "fit": {"quality": curve.fit, "r_squared": curve.explained, "rms": curve.rms} if curve else None,
        "dips": dips._asdict() if dips else None,
        "errors": sensor.errors,
    }


def _figure(value: float | None, unit: str) -> Data | None:
    return None if value is None else measured(Quantity(exactly(value), unit, figure(value, unit)))
