"""The courses of the thermocouples of a heating, to be drawn with limits of the peak and when solder was melted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.pages.blocks import Block, Curve, Curves, Level
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.heat.figures import spans_above
from jobkit.reckon.heat.profile_check import Check
from jobkit.reckon.heat.summary import ColumnSummary, summarise_heating
from jobkit.reckon.heat.work_log import HeatEvidence, conditions_of

ABOUT = (
    "Broken lines are the limits of the peak. The dotted line is where the solder begins to melt; the shaded time is "
    "above it."
)


def heat_curves(paper: Paper, *, with_day: bool = True) -> Iterator[Block]:
    """Draw over time what each thermocouple of the heatings of a job showed."""
    for one in paper.heatings:
        curves = list(_curves(one, paper))
        if curves:
            name = " ".join(filter(None, (one.work.did, one.work.part)))
            day = f" on {one.work.at:%Y-%m-%d}" if one.work.at and with_day else ""
            yield Curves(f"Heating: {name}{day}, from its log. {ABOUT}", curves, is_one_scale=True)


def _curves(one: HeatEvidence, paper: Paper) -> Iterator[Curve]:
    """Leave out thermocouples that cannot be trusted: the table of a job says why."""
    given = conditions_of(one.work, paper.job, paper.bench)
    for summary in summarise_heating(one.columns, given):
        if not summary.place.measured.fault:
            yield thermocouple_curve(summary, one.checks, summary.place.probe.place)


def thermocouple_curve(summary: ColumnSummary, checks: Sequence[Check], label: str) -> Curve:
    """Draw one thermocouple with its limits, in °C."""
    readings, melts = summary.place.readings, float(summary.melts)
    assert readings is not None
    column = summary.place.probe.column
    peaks = [check for check in checks if check.column == column and check.name == "peak"]
    return Curve(
        label,
        "°C",
        lambda: list(zip(readings.times, readings.values, strict=True)),
        [
            Level(melts, f"solder melts, {melts:g} °C", None),
            *(level for check in peaks for level in _limits(check)),
        ],
        [(span.start, span.end) for span in spans_above(readings, melts)],
        [(hole.start, hole.end) for hole in readings.holes],
    )


def _limits(check: Check) -> Iterator[Level]:
    limit = check.limit
    if limit and limit.low:
        yield Level(float(limit.low.value), f"peak at least {limit.low.text}", is_upper=False)
    if limit and limit.high:
        yield Level(float(limit.high.value), f"peak at most {limit.high.text}", is_upper=True)
