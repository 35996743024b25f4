"""Whether a sensor settled under load, at what value, and how fast it still drifts."""

from __future__ import annotations

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.line import fit_line
from jobkit.reckon.statistics.series import Series

LAST_SHARE = 1 / 3
"""The part at the end of the loaded time that is looked at. Our choice, no source: ten minutes of half an hour."""

DEGREES_AN_HOUR = 6.0
"""A temperature that drifts by no more has settled: 3 K in 30 min, the steady state of IEC 62368-1, B.1.6 (from
memory)."""

SHARE = 0.05
"""Any other sensor has settled if it moves by no more than this share of its value while it is looked at. Our choice,
no source."""

SETTLED, RISING, FALLING, UNCLEAR = "settled", "rising", "falling", "unclear"


class Settling(NamedTuple):
    """How a sensor was at the end of the run: in its unit, drifts by the hour.

    `state` is settled, rising, falling, or unclear where the 95 % interval of the drift, of half-width `drift_95`,
    reaches across what is `allowed`. `mean` is over the `seconds` that were looked at, `mean_u` its standard
    uncertainty.
    """

    state: str
    mean: float
    mean_u: float
    drift: float
    drift_95: float
    allowed: float
    seconds: float


def settling_of(series: Series, *, temperature: bool) -> Settling | None:
    """Look at the last third of a run; None for too few values there.

    A sensor has settled if the whole interval of its drift is within what is allowed, and is rising or falling if that
    is wholly outside; between the two the log is too short or too uneven to tell.
    """
    tail = last_third(series)
    line = fit_line(tail)
    if line is None:
        return None
    allowed = DEGREES_AN_HOUR if temperature else SHARE * abs(line.mean) * 3600 / tail.seconds
    drift, half_width = 3600 * line.slope, 3600 * line.slope_95
    state = _state(drift, half_width, allowed)
    return Settling(state, line.mean, line.mean_u, drift, half_width, allowed, tail.seconds)


def last_third(series: Series) -> Series:
    """Keep the last third of the time."""
    if not len(series.times):
        return series
    end = series.times[-1]
    return series.between(end - LAST_SHARE * series.seconds, end)


def _state(drift: float, half_width: float, allowed: float) -> str:
    if abs(drift) + half_width <= allowed:
        return SETTLED
    if abs(drift) - half_width > allowed:
        return RISING if drift > 0 else FALLING
    return UNCLEAR
