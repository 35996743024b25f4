"""The log of a heating as data."""

from __future__ import annotations

from datetime import datetime

from jobkit.named_tuple import NamedTuple
from jobkit.pages.forms.data import Data, measured
from jobkit.reckon.heat.figures import Ramp
from jobkit.reckon.heat.heating import Heating, Placed
from jobkit.reckon.heat.profile_check import Check, worst_of
from jobkit.reckon.heat.summary import ColumnSummary
from jobkit.reckon.statistics.series import exactly

Curve = tuple[tuple[float, float], ...]
"""Seconds and °C, as many as a drawing needs."""


class HeatView(NamedTuple):
    """A log of a heating, where its thermocouples sat, and what it was checked against.

    `source` says which piece of work it is of, "" for none, and `at` when that was; `near` are the packages beside the
    one that was heated; `curves` are to be drawn, by column.
    """

    name: str
    heating: Heating
    columns: tuple[Placed, ...]
    checks: tuple[Check, ...]
    summaries: tuple[ColumnSummary, ...]
    curves: tuple[tuple[str, Curve], ...] = ()
    source: str = ""
    part: str = ""
    did: str = ""
    solder: str = ""
    near: tuple[str, ...] = ()
    window: float = 0.0
    missing: tuple[str, ...] = ()
    at: datetime | None = None


def heat_data(view: HeatView) -> Data:
    """Give a heating as data; the verdict is null where nothing was checked, or something could not be."""
    heating = view.heating
    curves = dict(view.curves)
    return {
        "verdict": worst_of(view.checks) or None,
        "checks": [check_data(check) for check in view.checks],
        "columns": {one.place.probe.column: _column_data(one, curves) for one in view.summaries},
        "unusable": {
            one.probe.column: one.measured.fault or None for one in view.columns if one.readings is None
        },
        "log": view.name,
        "of": view.source or None,
        "part": view.part or None,
        "did": view.did or None,
        "solder": view.solder or None,
        "near": list(view.near),
        "rows": heating.rows,
        "interval_s": heating.interval,
        "seconds": heating.seconds,
        "ramp_window_s": view.window,
        "not_in_the_log": list(view.missing),
        "notes": list(heating.notes),
    }


def check_data(check: Check) -> Data:
    """Give one check."""
    verdict = check.verdict
    return {
        "name": check.name,
        "place": check.place,
        "column": check.column or None,
        "value": measured(check.value),
        "limit": check.limit.text if check.limit else None,
        "verdict": check.word or None,
        "uncertainty": measured(verdict.uncertainty) if verdict else None,
        "margin": measured(verdict.margin) if verdict else None,
        "source": check.source or None,
        "why": check.why or None,
    }


def _column_data(one: ColumnSummary, curves: dict[str, Curve]) -> Data:
    measured_by, probe = one.place.measured, one.place.probe
    return {
        "place": probe.text or None,
        "part": probe.part or None,
        "where": probe.where or None,
        "peak_c": _figure(measured_by.peak),
        "peak_at_s": measured_by.peak_at,
        "ramp_up": _ramp_data(measured_by.up),
        "ramp_down": _ramp_data(measured_by.down),
        "preheat_s": _figure(one.preheat),
        "melts_c": float(one.melts),
        "melted_at_s": None if one.crossed_at is None else _figure(one.crossed_at),
        "above_s": _figure(one.seconds_above),
        "heatings": one.heatings,
        "below_hottest_c": None if one.below_hottest is None else _figure(one.below_hottest),
        "holes": [
            {"from_s": hole.start, "to_s": hole.end}
            for hole in (one.place.readings.holes if one.place.readings else ())
        ],
        "fault": measured_by.fault or None,
        "left_out": list(measured_by.notes),
        "curve": [list(point) for point in curves.get(probe.column, ())],
    }


def _ramp_data(ramp: Ramp | None) -> Data | None:
    if ramp is None:
        return None
    return {
        "c_per_s": float(exactly(ramp.rate, 3)),
        "at_s": ramp.at,
        "over_s": float(exactly(ramp.seconds, 4)),
    }


def _figure(value: float) -> float:
    return round(value, 2)
