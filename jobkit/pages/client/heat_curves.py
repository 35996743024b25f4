"""The courses of the thermocouples of a heating, to be drawn with limits of the peak and when solder was melted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.pages.blocks import Block, Curve, Curves, Level
from jobkit.pages.client.work_kinds import heating_words
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.heat.figures import spans_above
from jobkit.reckon.heat.profile_check import Check
from jobkit.reckon.heat.summary import ColumnSummary, summarise_heating
from jobkit.reckon.heat.work_log import HeatEvidence, conditions_of
from jobkit.units.phrase import Figure, phrase

ABOUT = phrase(
    "Broken lines are the limits of the peak. The dotted line is where the solder begins to melt; the shaded time is "
    "above it."
)
_HEATING = phrase("Heating: {work}, from its log.")
_HEATING_ON = phrase("Heating: {work} on {day}, from its log.")


def heat_curves(paper: Paper, lang: Language = ENGLISH, *, with_day: bool = True) -> Iterator[Block]:
    """Draw over time what each thermocouple of the heatings of a job showed."""
    for one in paper.heatings:
        curves = list(_curves(one, paper, lang))
        if curves:
            day = one.work.at.date() if one.work.at and with_day else None
            words = lang.say(
                _HEATING_ON if day else _HEATING, work=heating_words(one.work, lang), day=lang.day(day)
            )
            yield Curves(f"{words} {lang.say(ABOUT)}", curves, is_one_scale=True)


def _curves(one: HeatEvidence, paper: Paper, lang: Language) -> Iterator[Curve]:
    """Leave out thermocouples that cannot be trusted: the table of a job says why."""
    given = conditions_of(one.work, paper.job, paper.bench)
    for summary in summarise_heating(one.columns, given):
        if not summary.place.measured.fault:
            label = lang.own(summary.place.probe.place)
            yield thermocouple_curve(summary, one.checks, label, lang)


def thermocouple_curve(
    summary: ColumnSummary, checks: Sequence[Check], label: str, lang: Language = ENGLISH
) -> Curve:
    """Draw one thermocouple with its limits, in °C."""
    readings, melts = summary.place.readings, float(summary.melts)
    assert readings is not None
    column = summary.place.probe.column
    peaks = [check for check in checks if check.column == column and check.name == "peak"]
    words = lang.say("solder melts, {temperature}", temperature=Figure(f"{melts:g} °C"))
    return Curve(
        label,
        "°C",
        lambda: list(zip(readings.times, readings.values, strict=True)),
        [Level(melts, words, None), *(level for check in peaks for level in _limits(check, lang))],
        [(span.start, span.end) for span in spans_above(readings, melts)],
        [(hole.start, hole.end) for hole in readings.holes],
    )


def _limits(check: Check, lang: Language) -> Iterator[Level]:
    limit = check.limit
    if limit and limit.low:
        words = lang.say("peak at least {temperature}", temperature=limit.low)
        yield Level(float(limit.low.value), words, is_upper=False)
    if limit and limit.high:
        words = lang.say("peak at most {temperature}", temperature=limit.high)
        yield Level(float(limit.high.value), words, is_upper=True)
