"""What each thermocouple of a heating shows, beside its checks: when solder melted there, for how long, how often."""

from __future__ import annotations

from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.figures import heatings_above, seconds_between, seconds_within, spans_above
from jobkit.reckon.heat.heating import Placed
from jobkit.reckon.heat.probe import JOINT
from jobkit.reckon.heat.profile_check import Conditions
from jobkit.reckon.heat.solder import LEAD_FREE_MELTS, TIN_LEAD_MELTS

_PREHEAT = {LEAD_FREE_MELTS: (150.0, 200.0), TIN_LEAD_MELTS: (100.0, 150.0)}


class ColumnSummary(NamedTuple):
    """One thermocouple: times in seconds, temperatures in °C.

    `melts` is where its solder begins to melt: that of the work at the part which was heated; elsewhere lead-free
    solder is assumed. `crossed_at` is when it first got there, None for never; `heatings` counts how often.
    `below_hottest` is how much colder it was at the hottest moment of the whole log.
    """

    place: Placed
    melts: Decimal
    crossed_at: float | None
    seconds_above: float
    heatings: int
    preheat: float
    below_hottest: float | None


def summarise_heating(columns: tuple[Placed, ...], given: Conditions) -> tuple[ColumnSummary, ...]:
    """Describe each thermocouple that could be read."""
    hottest = max((one for one in columns if one.readings), key=lambda one: one.measured.peak, default=None)
    return tuple(_summary(one, given, hottest) for one in columns if one.readings)


def melting_point(one: Placed, given: Conditions) -> Decimal:
    """Tell where the solder under a thermocouple begins to melt, in °C."""
    own = given.solder if one.probe.part == given.part else None
    if own is None:
        return LEAD_FREE_MELTS
    if one.probe.where == JOINT:
        return own.solidus
    return TIN_LEAD_MELTS if own.has_lead else LEAD_FREE_MELTS


def _summary(one: Placed, given: Conditions, hottest: Placed | None) -> ColumnSummary:
    readings, melts = one.readings, melting_point(one, given)
    assert readings is not None
    spans = spans_above(readings, float(melts))
    low, high = _PREHEAT[TIN_LEAD_MELTS if given.solder and given.solder.has_lead else LEAD_FREE_MELTS]
    return ColumnSummary(
        one,
        melts,
        spans[0].start if spans else None,
        seconds_within(spans, readings.holes),
        heatings_above(readings, float(melts)),
        seconds_between(readings, low, high),
        _below(one, hottest),
    )


def _below(one: Placed, hottest: Placed | None) -> float | None:
    if hottest is None or hottest is one or one.readings is None:
        return None
    return hottest.measured.peak - one.readings.at(hottest.measured.peak_at)
