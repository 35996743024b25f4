"""The log of a loaded run on a page: what each sensor showed, checked against its limits."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.cautions import COOLER, FAN, HOT_BOARD, MAINS
from jobkit.pages.bench.load_data import LoadView, load_data
from jobkit.pages.bench.usual_load import against_load_blocks
from jobkit.pages.blocks import Answer, Block, Curves, Line, Pairs, Table, Title, filled
from jobkit.pages.cautions import caution_sentence
from jobkit.pages.client.report_charts import course_curve
from jobkit.pages.forms.load_figures import clock_time, figure, signed
from jobkit.pages.forms.sparkline import sparkline
from jobkit.pages.words import counted
from jobkit.reckon.load_run.check import Check, worst_of
from jobkit.reckon.load_run.run import Run, SensorRun, plain_name

CAUTION = caution_sentence((COOLER, FAN, HOT_BOARD, MAINS))
_UNCHECKED = "not checked"
_FIGURES = {
    "highest": "highest",
    "lowest": "lowest",
    "settled": "mean at the end",
    "errors": "counted",
    "": "",
}


def load_page(view: LoadView) -> Answer:
    """Show a run: the verdict first, then the sensors, how they settled, and each check."""
    return Answer([*_blocks(view)], load_data(view))


def _blocks(view: LoadView) -> Iterator[Block]:
    yield Title(f"Load run {view.name}", 1)
    yield Line(f"{verdict_sentence(view.checks)}.")
    yield Pairs(tuple(_about(view)))
    yield from sensor_blocks(view)
    checks = {plain_name(check.name): check for check in view.checks}
    curves = [course_curve(course, checks, view.run) for course in view.drawn]
    if curves:
        yield Curves("Broken lines are limits; the shaded time is under load.", curves)
    if view.checks:
        yield Title("Checks")
        yield filled(Table(_CHECK_HEADS, [_check_row(check) for check in view.checks], right=("value",)))
    yield from against_load_blocks(view.against, view.design)
    yield from (Line(f"{note}.") for note in _dips(view.run))
    yield from notes_of(view.run)
    yield Line(CAUTION)


def verdict_sentence(checks: tuple[Check, ...]) -> str:
    """Say the verdict for a whole run, and what it is for if it is not in.

    >>> verdict_sentence(())
    'Not checked: there are no limits to check it against'
    """
    worst = worst_of(checks)
    these = [check for check in checks if check.word == worst]
    told = "; ".join(_told(check) for check in these)
    if not checks:
        return "Not checked: there are no limits to check it against"
    if worst == "in":
        return f"In: {counted(len(checks), 'check')}, each inside its limit"
    return f"{worst.capitalize() or 'Not checked'}: {told}"


def sensor_blocks(view: LoadView) -> Iterator[Block]:
    """Show the sensors, and how those settled that did."""
    rows = [_sensor_row(view, sensor) for sensor in view.run.sensors]
    yield filled(Table(("sensor", "over time", "lowest", "highest", "at", "settled"), rows, right=_RIGHT))
    settling = [
        _settling_row(view, sensor) for sensor in view.run.sensors if sensor.measures == "temperature"
    ]
    if settling:
        yield Title("How temperatures settled")
        yield filled(
            Table(("sensor", "drift an hour", "time constant", "curve fits", "°C/W"), settling, right=_RIGHT)
        )


_RIGHT = ("lowest", "highest", "at", "settled", "drift an hour", "time constant", "°C/W")
_CHECK_HEADS = ("sensor", "figure", "value", "limit", "verdict", "remark")


def notes_of(run: Run) -> Iterator[Block]:
    """Say what was guessed and skipped in reading a log."""
    if run.notes:
        yield Line(f"Notes on the log: {'; '.join(run.notes)}.")


def _about(view: LoadView) -> Iterator[tuple[str, str]]:
    run, loaded = view.run, view.run.loaded
    yield "rows", f"{run.rows} in {clock_time(run.seconds)}, one each {run.interval:g} s"
    under = f"{run.minutes:.1f} min" + ("" if loaded.by_power else " (no power is logged: all of it counts)")
    if loaded.stretches > 1:
        under += f", the longest of {loaded.stretches} runs in this log"
    yield "under load", under
    yield "without rows", f"{clock_time(loaded.hole)} at most" if loaded.hole else ""
    yield "room", view.room.text if view.room else ""
    yield (
        "fan",
        {"steady": "steady", "unsteady": "not steady, so that °C/W would say little"}.get(run.fan, ""),
    )
    yield "limits", view.source


def _sensor_row(view: LoadView, sensor: SensorRun) -> tuple[str, ...]:
    settling = sensor.settling
    if sensor.errors is not None:
        return (
            sensor.name,
            sparkline(view.courses.get(sensor.name, ())),
            "",
            f"{sensor.errors} in all",
            "",
            "",
        )
    stood = "too few rows"
    if settling:
        stood = figure(settling.mean, sensor.unit) if settling.state == "settled" else settling.state
    return (
        sensor.name,
        sparkline(view.courses.get(sensor.name, ())),
        figure(sensor.lowest, sensor.unit),
        figure(sensor.highest, sensor.unit),
        clock_time(sensor.highest_at),
        stood,
    )


def _settling_row(view: LoadView, sensor: SensorRun) -> tuple[str, ...]:
    settling, curve = sensor.settling, sensor.first_order
    drift = f"{signed(settling.drift)} ± {settling.drift_95:.1f} {sensor.unit}" if settling else ""
    constant = ""
    if curve and sensor.time_constant is not None:
        constant = f"{curve.tau:.0f} ± {curve.tau_95:.0f} s"
    watts = view.per_watt.get(sensor.name)
    return (
        sensor.name,
        drift,
        constant,
        f"{curve.fit}, R² {curve.explained:.3f}" if curve else "",
        f"{watts:.3f}" if watts is not None else "",
    )


def _check_row(check: Check) -> tuple[str, ...]:
    verdict = check.verdict
    trust = f" ± {verdict.uncertainty.text}" if verdict and verdict.uncertainty else ""
    value = figure(float(check.value.value), check.value.unit) if check.value else ""
    limit = check.limit.text if check.limit else "none allowed"
    return check.name, _FIGURES[check.figure], value + trust, limit, check.word or _UNCHECKED, check.why


def _told(check: Check) -> str:
    if not check.verdict or check.value is None:
        return f"{check.name}: {check.why}"
    value = figure(float(check.value.value), check.value.unit)
    limit = f", limit {check.limit.text}" if check.limit else ""
    return f"{check.name} {_FIGURES[check.figure]} {value}{limit}" + (f" ({check.why})" if check.why else "")


def _dips(run: Run) -> Iterator[str]:
    """Say how often a clock or a frame rate dipped."""
    for sensor in run.sensors:
        dips = sensor.dips
        if dips is None:
            continue
        share = f"{100 * dips.share:.0f} % of its median {figure(dips.median, sensor.unit)}"
        if not dips.often:
            yield f"{sensor.name} never fell below {share}"
            continue
        yield (
            f"{sensor.name} fell below {share} {counted(dips.often, 'time')}, for {clock_time(dips.seconds)} in all "
            f"and {clock_time(dips.longest)} at most, to {figure(dips.lowest, sensor.unit)}"
        )
