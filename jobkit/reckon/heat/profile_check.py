"""A heating checked: packages at the top of their bodies, the solder at the joint, each where a thermocouple sat.

A thermocouple whose place is not known, or that cannot be trusted, gives no verdict, and so does one with a hole in
which the board may have become hot. Where none sat at the body top of the part that was heated, its package is not
checked, and neither is its solder where the only joints with a thermocouple are those of other parts. What the log
shows outside a limit stays outside whatever it leaves open.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from jobkit.jobs.heat_policy import HeatPolicy
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.figures import (
    hides,
    seconds_between,
    seconds_to_peak,
    seconds_within,
    spans_above,
)
from jobkit.reckon.heat.heating import Placed
from jobkit.reckon.heat.package_limits import NEAR_PEAK, Maximum, Profile, lowered, profile
from jobkit.reckon.heat.probe import BODY, JOINT, Probe
from jobkit.reckon.heat.solder import Solder
from jobkit.reckon.heat.temperatures import Temperatures
from jobkit.reckon.statistics.series import exactly
from jobkit.units.accuracy import rectangular
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.limit import Limit
from jobkit.units.phrase import Figure, joined, phrase
from jobkit.units.quantity import Quantity, show
from jobkit.units.verdict import Decision, Verdict, judge, worst_word

_ROOM = 25.0
MAKES_JOINTS = frozenset(("fit", "swap", "reflow", "reball"))
"""Work that makes joints; the window of a solder is checked for no other."""


class Conditions(NamedTuple):
    """What is known beside the log: what was done to which part with which solder, and what the bench allows.

    `ratings` are the highest peaks allowed by part; `any_rating` is for parts that are not among them. `solder` is
    None where it is not known, and `solder_name` is then what the work calls it, "" for nothing.
    """

    did: str = "fit"
    part: str = ""
    solder: Solder | None = None
    solder_name: str = ""
    ratings: Mapping[str, Maximum] = {}
    any_rating: Maximum | None = None
    policy: HeatPolicy = HeatPolicy()
    decision: Decision = Decision()


class Check(NamedTuple):
    """One limit against what a thermocouple showed, or the reason why nothing could be checked there.

    `name` is the figure, `place` where the thermocouple of `column` sat, `source` from where the limit is. `column` is
    "" for a place without a thermocouple.
    """

    name: str
    place: str
    column: str
    value: Quantity | None
    limit: Limit | None
    verdict: Verdict | None
    why: str = ""
    source: str = ""

    @property
    def word(self) -> str:
        """The word of the verdict, "" for none."""
        return self.verdict.word if self.verdict else ""


def worst_of(checks: tuple[Check, ...]) -> str:
    """Give the one word for all checks, "" where one could not be made or there are none."""
    return worst_word(check.word for check in checks)


def check_heating(placed: tuple[Placed, ...], given: Conditions) -> tuple[Check, ...]:
    """Check what each thermocouple shows, in the order of the log; then name the places that had none."""
    by_column = (check for one in placed for check in _of_column(one, given))
    return (*by_column, *_unmeasured([one.probe for one in placed], given.part))


def _unmeasured(probes: Sequence[Probe], heated: str) -> Iterator[Check]:
    """Yield the places of the heated part that should have been measured and were not.

    Where the call does not say which part was heated, the one with a thermocouple at its joint was.
    """
    joints = [probe.part for probe in probes if probe.where == JOINT]
    tops = [probe.part for probe in probes if probe.where == BODY]
    part = heated or next((one for one in joints if one), "")
    if (heated or joints) and not {part, ""}.intersection(tops):
        yield _no_thermocouple(part, BODY)
    if joints and not {part, ""}.intersection(joints):
        yield _no_thermocouple(part, JOINT)


def _no_thermocouple(part: str, where: str) -> Check:
    return Check(
        phrase("peak"), joined(" ", (part, where)), "", None, None, None, phrase("nothing was measured there")
    )


def _of_column(one: Placed, given: Conditions) -> Iterator[Check]:
    probe, readings, fault = one.probe, one.readings, one.measured.fault
    column = _Column(one, given)
    if readings is None or fault:
        yield column.unchecked(phrase("temperature"), fault)
    elif not probe.where:
        yield column.unchecked(phrase("peak"), phrase("place unknown"))
    elif probe.where == BODY:
        yield from _of_package(column, readings)
    elif probe.where == JOINT and (not probe.part or not given.part or probe.part == given.part):
        yield from _of_solder(column, readings)


class _Column(NamedTuple):
    """A thermocouple that is being checked."""

    one: Placed
    given: Conditions

    def unchecked(self, name: str, why: str) -> Check:
        """Say why something is not checked; its peak is told where there is one."""
        probe, measured = self.one.probe, self.one.measured
        value = _celsius(measured.peak) if measured.readings else None
        return Check(name, probe.place, probe.column, value, None, None, why)

    def check(self, name: str, value: Quantity, limit: Limit, source: str) -> Check:
        """Check one figure."""
        probe = self.one.probe
        verdict = judge(value, limit, uncertainty=self._uncertainty(value), decision=self.given.decision)
        made = Check(name, probe.place, probe.column, value, limit, verdict, "", source)
        hole = hides(self.one.readings) if self.one.readings else None
        if hole is None or (
            limit.high is not None and verdict.word == "out" and value.value > limit.high.value
        ):
            return made
        why = phrase(
            "nothing is recorded for {seconds} s from {start} s on, at {before} °C",
            seconds=f"{hole.seconds:.0f}",
            start=f"{hole.start:.0f}",
            before=f"{hole.before:.0f}",
        )
        return made._replace(verdict=None, why=why)

    def at_most(self, name: str, value: float, unit: str, most: Maximum) -> Check:
        """Check one figure against a maximum."""
        return self.check(name, _quantity(value, unit), most.limit, most.source)

    def _uncertainty(self, value: Quantity) -> Quantity | None:
        accuracy = self.given.policy.accuracy
        if accuracy is None or value.unit != "°C":
            return None
        expanded = ROOT.multiply(self.given.decision.k, rectangular(accuracy.value))
        return Quantity(expanded, "°C", show(expanded, "°C", 2))


def _of_package(column: _Column, readings: Temperatures) -> Iterator[Check]:
    """Check the maxima of a package."""
    given, part, measured = column.given, column.one.probe.part, column.one.measured
    solder = given.solder if part == given.part else None
    limits = profile(given.policy.package, leaded=bool(solder and solder.has_lead))
    rating = given.ratings.get(part, given.any_rating)
    if rating is None:
        yield column.unchecked(
            phrase("peak"),
            phrase(
                "the classification temperature of {part} is not known", part=part or phrase("the package")
            ),
        )
    else:
        yield column.at_most(phrase("peak"), measured.peak, "°C", lowered(rating, given.policy.package))
    if measured.up and measured.down:
        yield column.at_most(phrase("ramp up"), max(measured.up.rate, 0.0), "°C/s", limits.ramp_up)
        yield column.at_most(phrase("ramp down"), max(measured.down.rate, 0.0), "°C/s", limits.ramp_down)
    else:
        yield column.unchecked(phrase("ramp"), phrase("the log is shorter than the window of a ramp"))
    if measured.peak >= limits.liquidus:
        yield from _of_reflow(column, readings, limits, rating)


def _of_reflow(
    column: _Column, readings: Temperatures, limits: Profile, rating: Maximum | None
) -> Iterator[Check]:
    """Check the times of a package that went above liquidus."""
    if rating is not None and rating.limit.high is not None:
        near = float(EXACT.subtract(rating.limit.high.value, NEAR_PEAK))
        yield column.at_most(phrase("near peak"), _above(readings, near), "s", limits.near_peak)
    low, high = map(float, limits.preheat_between)
    yield column.at_most(phrase("preheat"), seconds_between(readings, low, high), "s", limits.preheat)
    above = _above(readings, float(limits.liquidus))
    yield column.at_most(_above_words(limits.liquidus), above, "s", limits.above_liquidus)
    to_peak = seconds_to_peak(readings, _ROOM)
    if to_peak is not None:
        yield column.at_most(phrase("25 °C to peak"), to_peak, "s", limits.to_peak)
    else:
        begin = f"{readings.values[0]:.0f}"
        yield column.unchecked(phrase("25 °C to peak"), phrase("the log begins at {begin} °C", begin=begin))


def _of_solder(column: _Column, readings: Temperatures) -> Iterator[Check]:
    """Check the window of the solder: its joints where they are made, that it melts where a part comes off."""
    given, solder = column.given, column.given.solder
    peak = _celsius(column.one.measured.peak)
    if solder is None:
        name = (
            phrase("it is not known where {solder} melts", solder=given.solder_name)
            if given.solder_name
            else phrase("the solder is not known")
        )
        yield column.unchecked(phrase("peak"), name)
    elif given.did not in MAKES_JOINTS:
        melts = Limit(_celsius(float(solder.liquidus)), None, open=False, text="", unit="°C")
        melts = melts._replace(text=f">= {solder.liquidus} °C")
        yield column.check(phrase("peak"), peak, melts, f"liquidus of {solder.name}")
    else:
        yield column.check(phrase("peak"), peak, solder.peak, solder.source)
        spans = spans_above(readings, float(solder.liquidus))
        longest = max((seconds_within([span], readings.holes) for span in spans), default=0.0)
        yield column.check(
            _above_words(solder.liquidus), _quantity(longest, "s"), solder.seconds, solder.source
        )


def _above_words(liquidus: Decimal) -> str:
    return phrase("above {temperature}", temperature=Figure(f"{liquidus} °C"))


def _above(readings: Temperatures, level: float) -> float:
    return seconds_within(spans_above(readings, level), readings.holes)


def _celsius(value: float) -> Quantity:
    return _quantity(value, "°C")


def _quantity(value: float, unit: str) -> Quantity:
    """Round a figure to what a thermocouple tells: tenths of a degree and of a second, hundredths of a °C/s."""
    digits = 2 if unit == "°C/s" else 1
    exact = exactly(round(value, digits))
    return Quantity(exact, unit, f"{exact:.{digits}f} {unit}".replace("-", "−"))
