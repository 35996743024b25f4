"""A loaded run checked against limits: which figure of a sensor each end of a limit is for, and the verdict.

A temperature is checked by its highest value, since heat does its harm in a moment, and a voltage by its lowest and
highest. Power, clock, frame rate, fan and current swing as a test goes on, so that their mean over the last third of
the run is checked. A temperature that is inside its limit but still rises towards it is `near`: the log does not show
that it stays inside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from jobkit.jobs.load_log import SENSOR_UNITS
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.ambient import ambient_of
from jobkit.reckon.load_run.run import Run, SensorRun, plain_name
from jobkit.reckon.load_run.settling import RISING, UNCLEAR
from jobkit.reckon.statistics.series import exactly
from jobkit.units.accuracy import rectangular, root_sum_of_squares
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.limit import Limit, as_rise
from jobkit.units.phrase import phrase
from jobkit.units.quantity import Quantity, plain, show
from jobkit.units.sensor_accuracy import SensorAccuracy
from jobkit.units.verdict import Decision, Verdict, judge, severity, worst_word

OVER_AMBIENT = " over ambient"
"""Behind a sensor's name, it makes the limit one of the rise over the temperature of the room."""

_FIGURES: Mapping[str, tuple[str, str]] = {
    "temperature": ("settled", "highest"),
    "voltage": ("lowest", "highest"),
}
_BY_MEAN = ("settled", "settled")
"""The figures that a lower and an upper limit are for, by what a sensor measures; all else goes by its mean."""
_FEW = phrase("the log has fewer than three values under load")


class Conditions(NamedTuple):
    """What is known beside the log: the room's temperature, how far each sensor can be trusted, the decision rule."""

    ambient: Quantity | None = None
    accuracy: Mapping[str, SensorAccuracy] = {}
    decision: Decision = Decision()


class Check(NamedTuple):
    """One limit against what a sensor showed.

    `name` is the sensor as the limit names it, `figure` which of its figures was checked. Without a verdict the limit
    could not be checked, and `why` says for what reason; beside a verdict `why` says what else to know.
    """

    name: str
    figure: str
    value: Quantity | None
    limit: Limit | None
    verdict: Verdict | None
    why: str = ""

    @property
    def word(self) -> str:
        """The word of the verdict, "" for none."""
        return self.verdict.word if self.verdict else ""


def check_run(run: Run, limits: Mapping[str, Limit], conditions: Conditions) -> tuple[Check, ...]:
    """Check a run against limits by sensor, in their order; counted errors are checked without a limit too."""
    checks = [_check(run, name, limit, conditions) for name, limit in limits.items()]
    return (*checks, *_errors(run))


def worst_of(checks: tuple[Check, ...]) -> str:
    """Give the one word for all checks: out, "" where one could not be made, near, in; "" for none at all."""
    return worst_word(check.word for check in checks)


def _check(run: Run, name: str, limit: Limit, conditions: Conditions) -> Check:
    rise = plain_name(name).endswith(OVER_AMBIENT)
    sensor = run.sensor(plain_name(name).removesuffix(OVER_AMBIENT))
    ambient = ambient_of(run, conditions.ambient)
    lacks = _lacks(sensor, limit, ambient, rise=rise) or _accuracy_trouble(sensor, limit, conditions)
    if sensor is None or lacks:
        return Check(name, "", None, limit, None, lacks)
    ends = [
        _judged(sensor, end, conditions, ambient if rise else None, name)
        for end in _ends(as_rise(limit) if rise else limit)
    ]
    return min(ends, key=_severity)._replace(limit=limit)


def _lacks(sensor: SensorRun | None, limit: Limit, ambient: Quantity | None, *, rise: bool) -> str:
    """Say why a limit cannot be checked; "" where it can."""
    if sensor is None:
        return phrase("the log has no such sensor")
    if limit.open:
        return phrase("a sensor does not read open")
    if limit.empty:
        return phrase("no value is within its limit")
    if sensor.unit not in {"", limit.unit}:
        return phrase("the log has it in {unit}, the limit is in {other}", unit=sensor.unit, other=limit.unit)
    if rise and limit.unit != "°C":
        return phrase("only a temperature can have a limit over ambient")
    return phrase("the ambient temperature is not known") if rise and ambient is None else ""


def _accuracy_of(sensor: SensorRun, conditions: Conditions) -> SensorAccuracy | None:
    name = plain_name(sensor.name)
    return next((one for named, one in conditions.accuracy.items() if plain_name(named) == name), None)


def _accuracy_trouble(sensor: SensorRun | None, limit: Limit, conditions: Conditions) -> str:
    accuracy = _accuracy_of(sensor, conditions) if sensor else None
    if accuracy and accuracy.unit not in {"", limit.unit}:
        return phrase(
            "its accuracy is stated in {unit}, the limit is in {other}", unit=accuracy.unit, other=limit.unit
        )
    return ""


def _ends(limit: Limit) -> Iterator[Limit]:
    if limit.low is not None:
        yield limit._replace(high=None)
    if limit.high is not None:
        yield limit._replace(low=None)


def _judged(
    sensor: SensorRun, end: Limit, conditions: Conditions, ambient: Quantity | None, name: str
) -> Check:
    """Judge the figure that one end of a limit is for; `ambient` is taken off where it is given."""
    figure = _FIGURES.get(_measures(sensor, end), _BY_MEAN)[end.low is None]
    shown = {"highest": sensor.highest, "lowest": sensor.lowest, "settled": _mean(sensor)}[figure]
    if shown is None:
        return Check(name, figure, None, end, None, _FEW)
    exact = exactly(shown)
    value = plain(EXACT.subtract(exact, ambient.value) if ambient else exact, end.unit)
    trust = _uncertainty(sensor, exact, figure, conditions, end.unit, rise=ambient is not None)
    verdict = judge(value, end, uncertainty=trust, decision=conditions.decision)
    if verdict.word == "out":
        return Check(name, figure, value, end, verdict)
    if sensor.settling is None:
        return Check(name, figure, value, end, None, _FEW)
    coming = _still_rising(sensor, end, ambient) if figure == "highest" and verdict.word == "in" else ""
    if coming:
        return Check(name, figure, value, end, verdict._replace(word="near"), coming)
    return Check(
        name, figure, value, end, verdict, "" if sensor.unit else phrase("taken as {unit}", unit=end.unit)
    )


def _mean(sensor: SensorRun) -> float | None:
    return sensor.settling.mean if sensor.settling else None


def _measures(sensor: SensorRun, end: Limit) -> str:
    """Tell what a sensor measures; where its header did not tell, the unit of the limit does."""
    return sensor.measures or next((name for name, unit in SENSOR_UNITS.items() if unit == end.unit), "")


def _uncertainty(
    sensor: SensorRun, shown: Decimal, figure: str, conditions: Conditions, unit: str, *, rise: bool
) -> Quantity | None:
    """Give U = k·u of a figure; None where the accuracy of its sensor is not stated.

    The mean of a settled value has a scatter of its own, and a rise depends on the thermometer of the room too, where
    the accuracy of that is stated.
    """
    accuracy = _accuracy_of(sensor, conditions)
    if accuracy is None:
        return None
    parts = [rectangular(accuracy.limit_of_error(shown))]
    if figure == "settled" and sensor.settling:
        parts.append(exactly(sensor.settling.mean_u))
    if rise and "ambient" in conditions.accuracy:
        parts.append(rectangular(conditions.accuracy["ambient"].limit_of_error(Decimal(0))))
    expanded = ROOT.multiply(conditions.decision.k, root_sum_of_squares(parts))
    return Quantity(expanded, unit, show(expanded, unit, 2))


def _still_rising(sensor: SensorRun, end: Limit, ambient: Quantity | None) -> str:
    """Say whether a temperature that has not settled may yet pass its upper limit; "" where it will not."""
    settling = sensor.settling
    assert settling is not None
    assert end.high is not None
    if settling.state not in {RISING, UNCLEAR}:
        return ""
    curve = sensor.first_order
    if curve is None or curve.fit == "poor":
        drift = f"{settling.drift:.0f} {end.unit}"
        return phrase("still rises by {drift} an hour", drift=drift) if settling.state == RISING else ""
    limit = float(end.high.value) + (float(ambient.value) if ambient else 0.0)
    margin = curve.end_95 if settling.state == RISING else -curve.end_95
    if curve.end + margin <= limit:
        return ""
    reached = f"{curve.end:.0f} {end.unit}"
    return phrase("has not settled; by its curve it reaches {value}", value=reached)


def _errors(run: Run) -> Iterator[Check]:
    """Check what counters of errors show: a sound board makes none."""
    for sensor in run.measuring("errors"):
        counted = sensor.errors or 0
        verdict = Verdict("out" if counted else "in", None, None, "no errors are allowed")
        yield Check(
            sensor.name, "errors", Quantity(Decimal(counted), "errors", f"{counted} errors"), None, verdict
        )


def _severity(check: Check) -> tuple[int, Decimal]:
    margin = check.verdict.margin.value if check.verdict and check.verdict.margin else Decimal(0)
    return severity(check.word), margin
